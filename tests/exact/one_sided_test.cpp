// Bearing off alone against published values, exact fractions and the two-sided table.
#include "exact/one_sided.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <map>

#include "exact/two_sided.h"
#include "oracles/plays_oracle.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

const OneSidedTable& table() {
  static const OneSidedTable table = [] {
    Workers workers(2);
    return OneSidedTable(kHomePoints, workers);
  }();
  return table;
}

/// A side with checkers on the points 1 to 6, the rest of 15 off.
Side board(std::initializer_list<int> counts) {
  Side side;
  int point = 0;
  int off = kMaxCheckers;
  for (const int count : counts) {
    side.add(++point, count);
    off -= count;
  }
  side.add(kOff, off);
  return side;
}

/// P(k rolls) times 36^k, exactly, by the oracle's plays: whole numbers in 128 bits.
using Numerators = std::vector<Packed128>;

Packed128 power36(std::size_t exponent) {
  Packed128 power = 1;
  while (exponent-- > 0) power *= 36;
  return power;
}

class ExactRolls {
 public:
  static constexpr std::size_t kMostRolls = 12;  // The mean needs 36^12 * 12 < 2^128.

  const Numerators& of(const Side& side) {
    const auto key = static_cast<std::uint64_t>(side.bits());
    if (const auto known = known_.find(key); known != known_.end()) return known->second;
    Numerators sum(kMostRolls + 1, 0);
    if (side.all_off()) {
      sum[0] = 1;
      return known_[key] = sum;
    }
    Side elsewhere;
    elsewhere.add(1, 1);
    for (const Roll roll : kRolls) {
      const Numerators* best = nullptr;
      for (const Position& after : oracle::results({side, elsewhere}, roll)) {
        const Numerators& rolls = of(after.opponent);
        if (best == nullptr || moments(rolls) < moments(*best)) best = &rolls;
      }
      for (std::size_t k = 0; k < kMostRolls; ++k) {
        sum[k + 1] += static_cast<unsigned>(roll.weight()) * (*best)[k];
      }
      REQUIRE((*best)[kMostRolls] == 0);
    }
    return known_[key] = sum;
  }

  /// The first two moments times 36^kMostRolls.
  static std::pair<Packed128, Packed128> moments(const Numerators& rolls) {
    Packed128 mean = 0;
    Packed128 square = 0;
    for (std::size_t k = 0; k <= kMostRolls; ++k) {
      mean += k * rolls[k] * power36(kMostRolls - k);
      square += k * k * rolls[k] * power36(kMostRolls - k);
    }
    return {mean, square};
  }

 private:
  std::map<std::uint64_t, Numerators> known_;
};

}  // namespace

TEST_CASE("Lone bear-offs have the published means, deviations and distributions") {
  // Computed exactly by independent code; printed to six digits.
  struct Row {
    Side side;
    double mean;
    double deviation;
    std::map<int, double> rolls;
  };
  const std::vector<Row> rows{
      {board({15, 0, 0, 0, 0, 0}),
       6.979592,
       .807607,
       {{4, .000772}, {5, .034722}, {6, .227731}, {7, .457694}, {8, .279082}}},
      {board({10, 0, 0, 0, 0, 0}), 4.408179, .624273, {{3, .074074}, {4, .443673}, {5, .482253}}},
      {board({2, 2, 2, 2, 2, 2}),
       6.360317,
       .902063,
       {{3, .000322},
        {4, .017673},
        {5, .148821},
        {6, .369904},
        {7, .386604},
        {8, .071366},
        {9, .005132},
        {10, .000176}}},
      {board({0, 0, 0, 3, 5, 7}), 10.539055, 1.525157, {}},
      {board({0, 0, 0, 0, 0, 15}), 12.266187, 1.512509, {}},
  };
  for (const Row& row : rows) {
    CHECK(table().mean_rolls(row.side) == Approx(row.mean).margin(6e-7));
    CHECK(table().standard_deviation(row.side) == Approx(row.deviation).margin(6e-7));
    for (const auto& [k, probability] : row.rolls) {
      CHECK(table().rolls(row.side).of(k) == Approx(probability).margin(6e-7));
    }
  }
}

TEST_CASE("So many of 36 rolls bear off in one") {
  // 5-2 and 2-2: common practice; the others computed exactly by independent code.
  const std::vector<std::pair<Side, int>> rows{
      {board({0, 0, 0, 1}), 34},
      {board({0, 0, 0, 0, 1}), 31},
      {board({0, 0, 0, 0, 0, 1}), 27},
      {board({0, 1, 0, 0, 1}), 19},
      {board({0, 2}), 26},
      {board({1, 0, 0, 0, 0, 1}), 15},
      {board({0, 1, 0, 0, 0, 1}), 13},
      {board({0, 0, 0, 0, 1, 1}), 6},
      {board({0, 0, 0, 0, 0, 2}), 4},
  };
  for (const auto& [side, rolls] : rows) {
    CHECK(36.0 * table().rolls(side).of(1) == Approx(rolls).margin(1e-5));
  }
}

TEST_CASE("Effective pips follow the 7N + 1 rule and the published best wastages") {
  // Trice W., Backgammon Boot Camp, 2004: 2N checkers on the ace point have about 7N + 1.
  CHECK(effective_pips(table().mean_rolls(board({10}))) == Approx(36.0001).margin(6e-5));
  CHECK(effective_pips(table().mean_rolls(board({15}))) == Approx(57.0000).margin(6e-5));
  // Best boards for a pip total: Eide E., rec.games.backgammon, 30 April 1996.
  const std::vector<std::pair<Side, double>> rows{
      {board({0, 0, 0, 0, 1, 0}), 4.30}, {board({0, 0, 1, 0, 1, 0}), 5.26},
      {board({0, 0, 0, 1, 0, 1}), 5.11}, {board({0, 0, 0, 0, 0, 2}), 5.23},
      {board({0, 0, 0, 1, 1, 1}), 5.31}, {board({0, 0, 1, 1, 1, 1}), 5.67},
      {board({0, 0, 1, 0, 1, 2}), 5.73}, {board({0, 0, 1, 1, 1, 2}), 6.06},
      {board({0, 0, 0, 0, 2, 3}), 6.05}, {board({0, 0, 0, 2, 2, 2}), 6.25},
      {board({0, 0, 1, 1, 2, 3}), 6.37}, {board({0, 0, 0, 2, 3, 3}), 6.53},
  };
  for (const auto& [side, wastage] : rows) {
    INFO(side.pips() << " pips");
    CHECK(effective_pips(table().mean_rolls(side)) - side.pips() == Approx(wastage).margin(.006));
  }
}

TEST_CASE("Every lone bear-off of up to four checkers equals exact fractions") {
  ExactRolls exact;
  const SideIndex index(kHomePoints, 4);
  for (std::uint32_t number = 0; number < index.size(); ++number) {
    const Side side = index.side(number);
    const Numerators& rolls = exact.of(side);
    double mean = 0.0;
    for (std::size_t k = 0; k < rolls.size(); ++k) {
      const auto probability = static_cast<double>(static_cast<long double>(rolls[k]) /
                                                   static_cast<long double>(power36(k)));
      mean += static_cast<double>(k) * probability;
      REQUIRE(table().rolls(side).of(static_cast<int>(k)) == Approx(probability).margin(3e-7));
    }
    REQUIRE(table().mean_rolls(side) == Approx(mean).margin(1e-13));
  }
}

TEST_CASE("Rolls to the first checker off are those of the plays with the least mean") {
  CHECK(table().rolls_to_first_off(board({15})).of(1) == Approx(1.0).margin(1e-7));
  // 14 on the ace point and one on the six point: with 3-2 it must run with both dice.
  CHECK(table().rolls_to_first_off(board({14, 0, 0, 0, 0, 1})).of(1) ==
        Approx(34.0 / 36.0).margin(1e-7));
  Side elsewhere;
  elsewhere.add(1, 1);
  for (const Side& side : {board({0, 0, 0, 0, 0, 15}), board({0, 0, 0, 3, 5, 7}),
                           board({2, 2, 2, 3, 3, 3}), board({0, 5, 0, 5, 0, 5})}) {
    std::map<int, double> expected;
    for (const Roll roll : kRolls) {
      Side best;
      double least = 1e9;
      for (const Position& after : oracle::results({side, elsewhere}, roll)) {
        const double mean = table().mean_rolls(after.opponent);
        if (mean > least - 1e-12) continue;
        least = mean;
        best = after.opponent;
      }
      for (int k = 1; k <= 10; ++k) {
        expected[k] += roll.weight() / 36.0 *
                       (best.borne_off() > 0 ? (k == 1 ? 1.0 : 0.0)
                                             : table().rolls_to_first_off(best).of(k - 1));
      }
    }
    for (const auto& [k, probability] : expected) {
      CHECK(table().rolls_to_first_off(side).of(k) == Approx(probability).margin(1e-6));
    }
  }
}

TEST_CASE("All distributions sum to 1") {
  for (std::uint32_t number = 0; number < table().index().size(); ++number) {
    const RollDistribution& rolls = table().rolls(table().index().side(number));
    double sum = 0.0;
    for (int k = rolls.first; k <= rolls.last(); ++k) sum += rolls.of(k);
    REQUIRE(sum == Approx(1.0).margin(1e-6));
  }
}

TEST_CASE("The table further out agrees with the one at home") {
  Workers workers(2);
  const OneSidedTable wide(7, workers);
  for (const auto& side : {board({15}), board({2, 2, 2, 2, 2, 2}), board({0, 0, 0, 3, 5, 7})}) {
    CHECK(wide.mean_rolls(side) == table().mean_rolls(side));
    CHECK(wide.rolls(side).probability == table().rolls(side).probability);
  }
  const Side outside = parse_position("7 / 1", 1).roller;
  CHECK(wide.holds(outside));
  CHECK_FALSE(table().holds(outside));
  // A single checker on the seven point is off at once with seven pips or more.
  int off = 0;
  for (int outcome = 0; outcome < kDiceOutcomes; ++outcome) {
    const Roll roll = roll_of_outcome(outcome);
    const int pips = (roll.is_doubles() ? 4 : 2) * (roll.high + roll.low) / 2;
    off += pips >= 7 ? 1 : 0;
  }
  CHECK(36.0 * wide.rolls(outside).of(1) == Approx(off).margin(1e-5));
}

TEST_CASE("Race estimates are near the exact values of the two-sided table") {
  Workers workers(2);
  const TwoSidedTable exact(workers);
  const SideIndex index(kHomePoints, TwoSidedTable::kCheckers);
  double squares = 0.0;
  double worst = 0.0;
  std::size_t count = 0;
  const auto with_15 = [](Side side) {
    side.add(kOff, kMaxCheckers - side.total());
    return side;
  };
  for (std::uint32_t roller = 1; roller < index.size(); ++roller) {
    for (std::uint32_t opponent = 1; opponent < index.size(); ++opponent) {
      const Position position{with_15(index.side(roller)), with_15(index.side(opponent))};
      REQUIRE(table().holds_race(position));
      const double error =
          table().race_outcomes(position).win_probability() - exact.entry(position).win_probability;
      squares += error * error;
      worst = std::max(worst, std::abs(error));
      ++count;
    }
  }
  const double rms = std::sqrt(squares / static_cast<double>(count));
  WARN("race table against two-sided table: rms " << rms << ", worst " << worst << " of " << count
                                                  << " positions");
  // A throw-away study of ours had .0016 and .014.
  CHECK(rms < .002);
  CHECK(worst < .015);
}

TEST_CASE("On the ace point, where there is nothing to choose, the race estimate is exact") {
  // 2N checkers a side are N rolls against N; computed exactly by independent code. 14 against 15
  // are 7 rolls against 8: printed 89.5%, rec.games.backgammon archive view 1102.
  const auto win = [](const char* position) {
    return table().race_outcomes(parse_position(position)).win_probability();
  };
  CHECK(win("1x4 / 1x4") == Approx(31.0 / 36.0).margin(1e-6));
  CHECK(win("1x6 / 1x6") == Approx(1021.0 / 1296.0).margin(1e-6));
  CHECK(win("1x8 / 1x8") == Approx(34771.0 / 46656.0).margin(1e-6));
  CHECK(win("1x10 / 1x10") == Approx(1205041.0 / 1679616.0).margin(1e-6));
  CHECK(win("1x14 / 1x15") == Approx(.895066).margin(1e-6));
}

TEST_CASE("Gammon chances of a race are those of the rolls to the first checker off") {
  // Two on the ace point are off at once, before the opponent has rolled.
  const auto outcomes = table().race_outcomes(parse_position("1x2 / 6x15"));
  CHECK(outcomes.win_gammon_or_better_probability() == Approx(1.0).margin(1e-6));
  // Three on the ace point need a second roll unless doubles come; from 15 on the six point the
  // opponent's one roll bears off with a six, 3-3, 5-1 or 4-2: 16 of 36.
  const auto two_rolls = table().race_outcomes(parse_position("1x3 / 6x15"));
  CHECK(two_rolls.win_gammon_or_better_probability() ==
        Approx(1.0 / 6.0 + 5.0 / 6.0 * 20.0 / 36.0).margin(1e-6));
  CHECK(two_rolls.win_probability() == Approx(1.0).margin(1e-6));
  const auto reverse = table().race_outcomes(parse_position("6x15 / 1x2"));
  CHECK(reverse.lose_gammon_or_worse_probability() == Approx(20.0 / 36.0).margin(1e-6));
  CHECK(table().holds_race(parse_position("6x15 / 1x2")));
  // With all of three checkers on the board a gammon is possible that the table does not know.
  CHECK_FALSE(table().holds_race(parse_position("6x3 / 1x2", 3)));
}

}  // namespace sixfold
