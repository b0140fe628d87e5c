#include "encoding/roll_facts.h"

#include <algorithm>
#include <array>
#include <catch2/catch.hpp>
#include <compare>
#include <cstddef>
#include <cstdint>
#include <iterator>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "encoding/facts_of_roll.h"
#include "encoding/position_fixtures.h"
#include "rules/start.h"

namespace sixfold {
namespace {

/// A fact as words; fields that its kind does not have are 0.
struct Described {
  std::string_view kind;
  std::array<int, 4> fields{};
  friend auto operator<=>(const Described&, const Described&) = default;
};

std::string text_of(const Described& fact) {
  std::string text(fact.kind);
  for (const int field : fact.fields) text += " " + std::to_string(field);
  return text;
}

constexpr int kEmpty = static_cast<int>(Landing::kEmpty);
constexpr int kBlot = static_cast<int>(Landing::kBlot);
constexpr int kPoint = static_cast<int>(Landing::kPoint);
constexpr int kHit = static_cast<int>(Landing::kHit);
constexpr int kBorneOff = static_cast<int>(Landing::kBorneOff);

/// The facts of one position's rolls as their header describes them, checker by checker.
///
/// What it leaves open is read so:
///  - Landings are those of the position before the roll.
///  - A run, and a stride of two or more steps, ends on the board; a first stride may bear off.
///  - A meeting is one only where the mover holds fewer than two checkers.
///  - Steps from points are those that there would be with nothing on the bar.
///  - Of a mixed roll with one checker on the bar there are the steps from the bar, the steps from
///    points with either die whose fellow enters, runs from the bar, and meetings of the checker
///    that enters with another. With more on the bar there are the steps from the bar alone.
///  - Of doubles that enter, all checkers on the bar count as entered, and as many steps less are
///    left; with four of them nothing is. Steps from the bar are there however many they are.
class FactsOracle {
 public:
  explicit FactsOracle(const Position& position) {
    for (std::size_t location = 0; location <= 25; ++location) {
      roller_[location] = position.roller[static_cast<int>(location)];
      opponent_[location] = position.opponent[static_cast<int>(location)];
    }
  }

  /// In ascending order.
  [[nodiscard]] std::vector<Described> facts_of(int high, int low) const {
    std::vector<Described> facts;
    facts.push_back({"bar", {high, low, std::min(roller(25), 3)}});
    if (high == low) {
      add_doubles(high, facts);
    } else if (roller(25) == 0) {
      add_mixed(high, low, facts);
    } else {
      add_mixed_from_bar(high, low, facts);
    }
    std::sort(facts.begin(), facts.end());
    return facts;
  }

 private:
  int roller(int location) const { return roller_[static_cast<std::size_t>(location)]; }
  int opponent(int point) const { return opponent_[static_cast<std::size_t>(25 - point)]; }

  bool is_open(int point) const { return opponent(point) < 2; }

  /// The highest of the mover's points; the bar does not count.
  int rearmost_point() const {
    int rearmost = 0;
    for (int point = 1; point <= 24; ++point) {
      if (roller(point) > 0) rearmost = point;
    }
    return rearmost;
  }

  bool is_step_from_point(int from, int die) const {
    if (roller(from) == 0) return false;
    const int to = from - die;
    if (to > 0) return is_open(to);
    return rearmost_point() <= 6 && (to == 0 || from == rearmost_point());
  }

  int landing(int to) const {
    if (to <= 0) return kBorneOff;
    if (opponent(to) == 1) return kHit;
    if (roller(to) == 0) return kEmpty;
    return roller(to) == 1 ? kBlot : kPoint;
  }

  void add_step(int from, int die, std::vector<Described>& facts) const {
    facts.push_back({"step", {die, from, landing(from - die), std::min(roller(from), 3)}});
  }

  void add_steps_from_points(int die, std::vector<Described>& facts) const {
    bool any = false;
    for (int from = 1; from <= 24; ++from) {
      if (!is_step_from_point(from, die)) continue;
      add_step(from, die, facts);
      any = true;
    }
    if (!any) facts.push_back({"no step", {die}});
  }

  void add_run(int from, int high, int low, std::vector<Described>& facts) const {
    const int to = from - high - low;
    if (to <= 0 || !is_open(to)) return;
    if (!is_open(from - high) && !is_open(from - low)) return;
    facts.push_back({"run", {high + low, from, landing(to)}});
  }

  void add_meeting(int to, std::vector<Described>& facts) const {
    if (is_open(to) && roller(to) < 2) facts.push_back({"meeting", {to, landing(to)}});
  }

  void add_mixed(int high, int low, std::vector<Described>& facts) const {
    add_steps_from_points(high, facts);
    add_steps_from_points(low, facts);
    for (int from = 1; from <= 24; ++from) {
      if (roller(from) > 0) add_run(from, high, low, facts);
    }
    for (int to = 1; to + high <= 24; ++to) {
      if (roller(to + high) > 0 && roller(to + low) > 0) add_meeting(to, facts);
    }
  }

  void add_mixed_from_bar(int high, int low, std::vector<Described>& facts) const {
    for (const int die : {high, low}) {
      if (is_open(25 - die)) add_step(25, die, facts);
    }
    if (roller(25) > 1) return;
    if (is_open(25 - low)) add_steps_from_points(high, facts);
    if (is_open(25 - high)) add_steps_from_points(low, facts);
    add_run(25, high, low, facts);
    // A checker that enters with the smaller die is met by none: the other would come from behind
    // the bar.
    const int met = 25 - high;
    if (roller(met + low) > 0) add_meeting(met, facts);
  }

  void add_doubles(int die, std::vector<Described>& facts) const {
    FactsOracle board = *this;
    int steps = 4;
    if (roller(25) > 0) {
      if (!is_open(25 - die)) return;
      add_step(25, die, facts);
      board.roller_[static_cast<std::size_t>(25 - die)] += roller(25);
      steps -= roller(25);
    }
    if (steps <= 0) return;
    for (int from = 1; from <= 24; ++from) {
      if (!board.is_step_from_point(from, die)) continue;
      facts.push_back({"stock", {die, from, std::min(board.roller(from), 4)}});
      facts.push_back({"stride", {die, 1, from, landing(from - die)}});
      for (int step = 2; step <= steps; ++step) {
        const int to = from - step * die;
        if (to <= 0 || !is_open(to)) break;
        facts.push_back({"stride", {die, step, from, landing(to)}});
      }
    }
  }

  std::array<int, 26> roller_{};
  std::array<int, 26> opponent_{};
};

std::vector<Described> described_facts(const Position& position, Roll roll) {
  return FactsOracle(position).facts_of(roll.high, roll.low);
}

/// Says of what rolls something was true: equal for things that were true of the same ones.
class Occurrences {
 public:
  void add(std::uint64_t roll_number) {
    // The finalizer of splitmix64, so that sums differ.
    std::uint64_t tag = roll_number + 0x9e3779b97f4a7c15;
    tag = (tag ^ tag >> 30) * 0xbf58476d1ce4e5b9;
    tag = (tag ^ tag >> 27) * 0x94d049bb133111eb;
    sum_ += tag ^ tag >> 31;
    ++count_;
  }
  friend auto operator<=>(const Occurrences&, const Occurrences&) = default;

 private:
  std::uint64_t sum_ = 0;
  std::uint64_t count_ = 0;
};

/// One checker on each of the points from `lowest` up, `count` of them.
Side spread_side(int lowest, int count) {
  Side side;
  for (int point = lowest; point < lowest + count; ++point) side.add(point, 1);
  return side;
}

Side stack(int location, int count) {
  Side side;
  side.add(location, count);
  return side;
}

std::size_t count_of(const std::vector<Described>& facts, std::string_view kind) {
  return static_cast<std::size_t>(std::count_if(
      facts.begin(), facts.end(), [&](const Described& fact) { return fact.kind == kind; }));
}

}  // namespace

TEST_CASE("the facts of a roll at the start are those that one would list") {
  const std::vector<Described> expected{
      {"bar", {3, 1, 0}},           {"meeting", {5, kEmpty}},    {"run", {4, 6, kEmpty}},
      {"run", {4, 8, kEmpty}},      {"run", {4, 13, kEmpty}},    {"run", {4, 24, kEmpty}},
      {"step", {1, 6, kEmpty, 3}},  {"step", {1, 8, kEmpty, 3}}, {"step", {1, 24, kEmpty, 2}},
      {"step", {3, 6, kEmpty, 3}},  {"step", {3, 8, kEmpty, 3}}, {"step", {3, 13, kEmpty, 3}},
      {"step", {3, 24, kEmpty, 2}},
  };
  CHECK(described_facts(start_position(), {3, 1}) == expected);
  CHECK(facts_of_roll(roll_facts(start_position()), {3, 1}).size() == expected.size());
}

TEST_CASE("each number stands for one described fact, and each described fact has one number") {
  std::map<Described, Occurrences> described;
  std::map<Fact, Occurrences> numbered;
  std::uint64_t roll_number = 0;
  for (const Position& position : many_positions(1, 12'000)) {
    const RollFacts facts = roll_facts(position);
    for (const Roll roll : kRolls) {
      const std::vector<Described> expected = described_facts(position, roll);
      const std::vector<Fact> found = facts_of_roll(facts, roll);
      if (std::adjacent_find(expected.begin(), expected.end()) != expected.end() ||
          std::adjacent_find(found.begin(), found.end()) != found.end()) {
        FAIL(case_text(position, roll) << ": a fact twice");
      }
      if (found.size() != expected.size()) {
        std::string texts;
        for (const Described& fact : expected) texts += "\n" + text_of(fact);
        FAIL(case_text(position, roll)
             << ": " << found.size() << " facts, not " << expected.size() << ":" << texts);
      }
      ++roll_number;
      for (const Described& fact : expected) described[fact].add(roll_number);
      for (const Fact fact : found) {
        if (fact >= kFactCount) FAIL(case_text(position, roll) << ": fact " << fact);
        numbered[fact].add(roll_number);
      }
    }
  }
  CHECK(described.size() == numbered.size());
  CHECK(described.size() > 4000);

  std::map<Occurrences, std::vector<Fact>> numbers;
  for (const auto& [fact, occurrences] : numbered) numbers[occurrences].push_back(fact);
  std::map<Occurrences, std::vector<Described>> names;
  for (const auto& [fact, occurrences] : described) names[occurrences].push_back(fact);
  std::size_t distinguished = 0;
  for (const auto& [occurrences, same] : names) {
    const std::size_t found = numbers[occurrences].size();
    if (found != same.size()) {
      FAIL(text_of(same.front()) << ": " << found << " numbers are true of the same rolls as "
                                 << same.size() << " described facts");
    }
    if (found == 1) ++distinguished;
  }
  // Some of the rarest are not told apart.
  CHECK(static_cast<double>(distinguished) > 0.97 * static_cast<double>(described.size()));
}

TEST_CASE("lists have room for the facts of fifteen separate places") {
  const Side elsewhere = stack(kBar, 15);
  for (int lowest = 1; lowest <= 10; ++lowest) {
    const Position position{spread_side(lowest, 15), elsewhere};
    const RollFacts facts = roll_facts(position);
    for (const FactList& list : facts.shared) CHECK(list.size() <= 15);
    for (const Roll roll : kRolls) {
      const std::size_t own = facts.own[static_cast<std::size_t>(roll.index())].size();
      CHECK(own <= FactList::kCapacity);
      CHECK(facts_of_roll(facts, roll).size() == described_facts(position, roll).size());
    }
  }
  // All four strides of all checkers: the fullest list.
  CHECK(roll_facts({spread_side(5, 15), elsewhere}).own[0].size() == FactList::kCapacity);
}

TEST_CASE("a checker that enters with doubles takes one of fifteen places") {
  Side side = spread_side(6, 14);
  side.add(kBar, 1);
  const Position position{side, stack(kBar, 15)};
  const RollFacts facts = roll_facts(position);
  CHECK(facts.own[0].size() == 1 + 15 * 4);
  CHECK(count_of(described_facts(position, {1, 1}), "stride") == 15 * 3);
}

TEST_CASE("the more checkers are on the bar, the less is open to doubles") {
  for (int on_bar = 0; on_bar <= 6; ++on_bar) {
    Side side = stack(20, 9);
    side.add(kBar, on_bar);
    const Position position{side, stack(20, 15)};
    CAPTURE(on_bar);
    const std::vector<Described> facts = described_facts(position, {2, 2});
    const std::size_t places = on_bar == 0 ? 1 : 2;
    const std::size_t steps = on_bar < 4 ? static_cast<std::size_t>(4 - on_bar) : 0;
    CHECK(count_of(facts, "stride") == places * steps);
    CHECK(count_of(facts, "stock") == (steps == 0 ? 0 : places));
    CHECK(count_of(facts, "step") == (on_bar == 0 ? 0 : 1));
    CHECK(facts_of_roll(roll_facts(position), {2, 2}).size() == facts.size());
  }
}

TEST_CASE("checkers that enter with doubles can start from where they enter") {
  for (int count = 1; count <= 3; ++count) {
    for (const int there : {0, 1, 2}) {
      CAPTURE(count, there);
      Side entering = stack(1, 10);
      entering.add(kBar, count);
      entering.add(19, there);
      Side entered = stack(1, 10);
      entered.add(19, count + there);
      const Roll roll{6, 6};
      const std::vector<Fact> before = facts_of_roll(roll_facts({entering, stack(kBar, 15)}), roll);
      const std::vector<Fact> after = facts_of_roll(roll_facts({entered, stack(kBar, 15)}), roll);
      std::vector<Fact> common;
      std::set_intersection(before.begin(), before.end(), after.begin(), after.end(),
                            std::back_inserter(common));
      // The stock, and as many strides as there are dice left.
      CHECK(common.size() == static_cast<std::size_t>(1 + 4 - count));
    }
  }
}

TEST_CASE("a shut-out side has its bar alone") {
  Side closed;
  for (int point = 1; point <= 6; ++point) closed.add(point, 2);
  closed.add(13, 3);
  Side side = stack(kBar, 1);
  side.add(6, 14);
  const Position position{side, closed};
  const RollFacts facts = roll_facts(position);
  for (const Roll roll : kRolls) CHECK(facts_of_roll(facts, roll).size() == 1);
}

TEST_CASE("facts do not depend on what the opponent has out of reach") {
  const Side side = spread_side(1, 15);
  Side far = stack(kBar, 2);
  far.add(kOff, 12);
  far.add(1, 1);
  const Position beside{side, stack(kBar, 15)};
  const Position passed{side, far};
  for (const Roll roll : kRolls) {
    INFO(case_text(passed, roll));
    CHECK(facts_of_roll(roll_facts(passed), roll) == facts_of_roll(roll_facts(beside), roll));
  }
}

}  // namespace sixfold
