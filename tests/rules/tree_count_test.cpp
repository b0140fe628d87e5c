#include "rules/tree_count.h"

#include <algorithm>
#include <array>
#include <bit>
#include <catch2/catch.hpp>
#include <cstdint>
#include <utility>
#include <vector>

#include "base/input_error.h"
#include "oracles/plays_oracle.h"
#include "rules/notation.h"
#include "rules/plays.h"
#include "rules/start.h"

namespace sixfold {
namespace {

void keep_distinct(std::vector<Position>& positions) {
  std::sort(positions.begin(), positions.end(), [](const Position& a, const Position& b) {
    return std::pair(a.roller.bits(), a.opponent.bits()) <
           std::pair(b.roller.bits(), b.opponent.bits());
  });
  positions.erase(std::unique(positions.begin(), positions.end()), positions.end());
}

/// The positions after every play of every roll from each of `positions`.
std::vector<Position> all_after(const std::vector<Position>& positions) {
  std::vector<Position> after;
  PlayList plays;
  for (const Position& position : positions) {
    for (const Roll roll : kRolls) {
      generate_plays(position, roll, plays);
      for (const PlayKey play : plays) after.push_back(position_after(position, play));
    }
  }
  return after;
}

TreeCount count_by_oracle(const Position& position, int depth) {
  TreeCount total;
  for (const Roll roll : kRolls) {
    const auto weight = static_cast<std::uint64_t>(roll.weight());
    for (const Position& after : oracle::results(position, roll)) {
      const TreeCount below = depth == 1 ? TreeCount{1, 1} : count_by_oracle(after, depth - 1);
      total.plays += below.plays;
      total.weighted += below.weighted * weight;
    }
  }
  return total;
}

/// How many of the 36 outcomes of two dice have a play that satisfies `wanted`.
template <typename Wanted>
int rolls_with(const Position& position, Wanted wanted) {
  int outcomes = 0;
  PlayList plays;
  for (const Roll roll : kRolls) {
    generate_plays(position, roll, plays);
    if (std::any_of(plays.begin(), plays.end(), wanted)) outcomes += roll.weight();
  }
  return outcomes;
}

/// Rolls that hit a blot on `point`, the only opposing checker, from single checkers in `front`.
int rolls_that_hit(int point, const std::vector<int>& front) {
  Position position;
  for (const int location : front) position.roller.add(location, 1);
  position.opponent.add(mirrored(point), 1);
  return rolls_with(position, [](PlayKey play) { return play.hits() != 0; });
}

/// `entering` checkers on the bar against the points of `closed`: bit i closes the other side's
/// point i + 1.
int rolls_that_enter_all(int entering, unsigned closed) {
  Position position;
  position.roller.add(kBar, entering);
  position.opponent.add(13, 1);
  for (int i = 0; i < kHomePoints; ++i) {
    if ((closed >> i & 1u) != 0) position.opponent.add(i + 1, 2);
  }
  return rolls_with(position, [](PlayKey play) { return play.mover()[kBar] == 0; });
}

}  // namespace

TEST_CASE("Games of fifteen checkers begin in the usual position") {
  CHECK(position_text(start_position()) == "24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5");
}

TEST_CASE("Games of one to twelve checkers begin on the rearmost points") {
  CHECK(position_text(start_position(1)) == "24 / 24");
  // The game solved in Keith T., Hyper Fun, 2018.
  CHECK(position_text(start_position(3)) == "24 23 22 / 24 23 22");
  for (int checkers = 1; checkers <= 12; ++checkers) {
    CHECK(start_position(checkers).roller.sum(25 - checkers) == checkers);
    CHECK(start_position(checkers).opponent == start_position(checkers).roller);
  }
  for (const int checkers : {-1, 0, 13, 14, 16}) {
    CHECK_THROWS_AS(start_position(checkers), InputError);
  }
}

TEST_CASE("The 21 rolls have the mean and variance of the pips of two dice") {
  // Doubles count four times: mean 49/6, variance 665/36.
  int sum = 0;
  int squares = 0;
  int outcomes = 0;
  for (const Roll roll : kRolls) {
    const int pips = roll.is_doubles() ? 4 * roll.high : roll.high + roll.low;
    CHECK(kRolls[static_cast<std::size_t>(roll.index())] == roll);
    outcomes += roll.weight();
    sum += roll.weight() * pips;
    squares += roll.weight() * pips * pips;
  }
  CHECK(outcomes == kDiceOutcomes);
  CHECK(6 * sum == 49 * kDiceOutcomes);
  CHECK(squares * kDiceOutcomes - sum * sum == 665 * kDiceOutcomes);
}

TEST_CASE("Each roll from the start has the known number of plays") {
  // In the order 11, 21, 22, 31, ... 66; computed exactly by two independent generators.
  constexpr std::array<std::size_t, kRollCount> kKnown{42, 15, 75, 16, 17, 73, 14, 18, 17, 52, 8,
                                                       8,  9,  9,  4,  10, 14, 14, 14, 7,  11};
  PlayList plays;
  for (const Roll roll : kRolls) {
    INFO("roll " << roll_text(roll));
    generate_plays(start_position(), roll, plays);
    CHECK(plays.size() == kKnown[static_cast<std::size_t>(roll.index())]);
    CHECK(oracle::results(start_position(), roll).size() == plays.size());
  }
}

// The counts from the start were computed exactly by independent generators.
TEST_CASE("The tree of plays from the start has the known size at depth one and two") {
  CHECK(count_plays(start_position(), 1) == TreeCount{447, 637});
  CHECK(count_plays(start_position(), 2) == TreeCount{202'782, 419'783});
}

TEST_CASE("The oracle counts the same tree of plays from the start") {
  CHECK(count_by_oracle(start_position(), 1) == TreeCount{447, 637});
  CHECK(count_by_oracle(start_position(), 2) == TreeCount{202'782, 419'783});
}

TEST_CASE("The plays from the start lead to the known number of distinct positions") {
  std::vector<Position> positions = all_after({start_position()});
  CHECK(positions.size() == 447);
  keep_distinct(positions);
  CHECK(positions.size() == 406);
  positions = all_after(positions);
  keep_distinct(positions);
  CHECK(positions.size() == 163'706);
}

TEST_CASE("The tree of plays from the start has the known size at depth three", "[slow]") {
  // The oracle counts the same, in minutes.
  CHECK(count_plays(start_position(), 3) == TreeCount{116'154'993, 346'692'108});
}

TEST_CASE("A blot alone is hit by the known number of rolls at each distance") {
  // The trade's table of shots, distance 1 first; recomputed exactly.
  constexpr std::array<int, 24> kShots{11, 12, 14, 15, 15, 17, 6, 6, 5, 3, 2, 3,
                                       0,  0,  1,  1,  0,  1,  0, 1, 0, 0, 0, 1};
  for (int distance = 1; distance <= 24; ++distance) {
    for (int from = distance + 1; from <= kBar; ++from) {
      INFO("distance " << distance << " from " << from);
      CHECK(rolls_that_hit(from - distance, {from}) ==
            kShots[static_cast<std::size_t>(distance - 1)]);
    }
  }
}

TEST_CASE("Two checkers hit a blot with the known number of rolls") {
  // Recomputed exactly.
  struct Shots {
    int near;
    int far;
    int rolls;
  };
  for (const Shots& shots : {Shots{1, 2, 20}, Shots{1, 4, 21}, Shots{1, 6, 24}, Shots{2, 4, 23},
                             Shots{3, 6, 28}, Shots{4, 6, 27}, Shots{5, 6, 28}}) {
    for (int point = 1; point + shots.far <= kPoints; ++point) {
      INFO("distances " << shots.near << " and " << shots.far << " to " << point);
      CHECK(rolls_that_hit(point, {point + shots.near, point + shots.far}) == shots.rolls);
    }
  }
}

TEST_CASE("Checkers on the bar enter with the known number of rolls") {
  // Against n open points one checker enters with 36 - (6 - n)^2 rolls, both of two with n^2.
  for (unsigned closed = 0; closed < 64; ++closed) {
    const int shut = std::popcount(closed);
    const int open = kHomePoints - shut;
    INFO("closed points " << closed);
    CHECK(rolls_that_enter_all(1, closed) == kDiceOutcomes - shut * shut);
    CHECK(rolls_that_enter_all(2, closed) == open * open);
  }
}

}  // namespace sixfold
