#include "exact/two_sided.h"

#include <catch2/catch.hpp>
#include <map>

#include "oracles/plays_oracle.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

const TwoSidedTable& table() {
  static const TwoSidedTable table = [] {
    Workers workers(2);
    return TwoSidedTable(workers);
  }();
  return table;
}

const TwoSidedTable::Entry& entry(const std::string& position) {
  return table().entry(parse_position(position));
}

/// The same values by plain recursion over the oracle's plays.
class Recursion {
 public:
  struct Values {
    double win;
    double owned;
    double centred;
    double opponents;
  };

  Values of(const Position& position) {
    if (position.opponent.all_off()) return {0.0, -1.0, -1.0, -1.0};
    const auto key = std::pair(static_cast<std::uint64_t>(position.roller.bits()),
                               static_cast<std::uint64_t>(position.opponent.bits()));
    if (const auto known = known_.find(key); known != known_.end()) return known->second;
    Values mean{};
    for (const Roll roll : kRolls) {
      Values best{-9.0, -9.0, -9.0, -9.0};
      for (const Position& after : oracle::results(position, roll)) {
        const Values next = of(after);
        best.win = std::max(best.win, 1.0 - next.win);
        best.owned = std::max(best.owned, -next.opponents);
        best.centred = std::max(best.centred, -next.centred);
        best.opponents = std::max(best.opponents, -next.owned);
      }
      const double weight = roll.weight() / 36.0;
      mean.win += weight * best.win;
      mean.owned += weight * best.owned;
      mean.centred += weight * best.centred;
      mean.opponents += weight * best.opponents;
    }
    const double doubled = std::min(2.0 * mean.opponents, 1.0);
    mean.owned = std::max(mean.owned, doubled);
    mean.centred = std::max(mean.centred, doubled);
    return known_[key] = mean;
  }

 private:
  std::map<std::pair<std::uint64_t, std::uint64_t>, Values> known_;
};

}  // namespace

TEST_CASE("Two-sided bear-offs have the published chances and cube equities") {
  // 5-2 v 4-1: Jacoby O. & Crawford J., The Backgammon Book, 1970; 2-2 v 2-2 printed +.599; all
  // computed exactly by independent code, to six digits.
  struct Row {
    const char* position;
    double win, hold_owned, hold_centred, double_take;
  };
  const auto row = GENERATE(Row{"5 2 / 4 1", .618999, .239198, .055556, .111111},
                            Row{"2x2 / 2x2", .799383, .598765, .475309, .950617},
                            Row{"6 / 6", .812500, .625000, .500000, 1.000000},
                            Row{"5 2 / 1x2", .527778, .055556, .055556, .111111},
                            Row{"3x2 / 3x2", .750772, .501543, .501543, 1.003086},
                            Row{"6x3 / 6x3", .712808, .625447, .588582, .751454});
  INFO(row.position);
  const auto& found = entry(row.position);
  CHECK(found.win_probability == Approx(row.win).margin(6e-7));
  CHECK(found.hold_owned == Approx(row.hold_owned).margin(6e-7));
  CHECK(found.hold_centred == Approx(row.hold_centred).margin(6e-7));
  CHECK(found.double_take() == Approx(row.double_take).margin(6e-7));
}

TEST_CASE("Positions of N rolls against N rolls have the published chances") {
  // 2N checkers on the ace point a side; computed exactly by independent code.
  CHECK(entry("1x4 / 1x4").win_probability == Approx(31.0 / 36.0).margin(1e-12));
  CHECK(entry("1x6 / 1x6").win_probability == Approx(1021.0 / 1296.0).margin(1e-12));
  // Two rolls and three rolls each: double and pass.
  CHECK(entry("1x4 / 1x4").double_take() > 1.0);
  CHECK(entry("1x6 / 1x6").double_take() > 1.0);
}

TEST_CASE("The two-sided table equals a plain recursion over the oracle's plays") {
  Recursion recursion;
  const SideIndex index(kHomePoints, 3);
  for (std::uint32_t roller = 1; roller < index.size(); ++roller) {
    for (std::uint32_t opponent = 1; opponent < index.size(); opponent += 3) {
      Position position{index.side(roller), index.side(opponent)};
      const auto expected = recursion.of(position);
      position.roller.add(kOff, 12);
      position.opponent.add(kOff, 12);
      REQUIRE(table().holds(position));
      const auto& found = table().entry(position);
      REQUIRE(found.win_probability == Approx(expected.win).margin(1e-12));
      REQUIRE(found.owned == Approx(expected.owned).margin(1e-12));
      REQUIRE(found.centred == Approx(expected.centred).margin(1e-12));
      REQUIRE(found.opponents == Approx(expected.opponents).margin(1e-12));
    }
  }
}

TEST_CASE("The two-sided table does not hold what may end in a gammon, contact or larger sides") {
  CHECK(table().holds(parse_position("6x6 / 6x6")));
  CHECK_FALSE(table().holds(parse_position("6x6 1 / 6x6")));
  CHECK_FALSE(table().holds(parse_position("7 / 6")));
  CHECK_FALSE(table().holds(parse_position("6 / 24")));
  CHECK_FALSE(table().holds(parse_position("6x2 / 6", 2)));
  CHECK(table().holds(parse_position("6 / 6", 2)));
}

}  // namespace sixfold
