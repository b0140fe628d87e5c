#include "rules/game_result.h"

#include <array>
#include <bitset>
#include <catch2/catch.hpp>
#include <optional>
#include <random>
#include <string>
#include <utility>
#include <vector>

#include "oracles/plays_oracle.h"
#include "oracles/random_positions.h"
#include "rules/notation.h"
#include "rules/outcome_distribution.h"
#include "rules/plays.h"

namespace sixfold {
namespace {

constexpr unsigned bit(Outcome outcome) { return 1u << static_cast<int>(outcome); }

constexpr unsigned kLoseBackgammon = bit(Outcome::kLoseBackgammon);
constexpr unsigned kLoseGammon = bit(Outcome::kLoseGammon);
constexpr unsigned kLoseSingle = bit(Outcome::kLoseSingle);
constexpr unsigned kWinSingle = bit(Outcome::kWinSingle);
constexpr unsigned kWinGammon = bit(Outcome::kWinGammon);
constexpr unsigned kWinBackgammon = bit(Outcome::kWinBackgammon);
constexpr unsigned kAllOutcomes = (1u << kOutcomeCount) - 1;

/// A set of outcomes as the other player sees it.
unsigned reversed_set(unsigned outcomes) {
  unsigned other = 0;
  for (int i = 0; i < kOutcomeCount; ++i) {
    if ((outcomes >> i & 1u) != 0) other |= bit(reversed(static_cast<Outcome>(i)));
  }
  return other;
}

std::string set_text(unsigned outcomes) { return std::bitset<kOutcomeCount>(outcomes).to_string(); }

/// Complete lists of small positions: checkers a side and their highest point.
constexpr std::array<std::pair<int, int>, 3> kSmallGames{
    {{1, kPoints}, {2, kPoints}, {3, kHomePoints}}};

/// All positions of one game, the first first, where each play is chosen at random; the last one is
/// finished unless both sides are locked in. A safe number of plays bounds it.
std::vector<Position> random_game(Position position, std::mt19937_64& random) {
  constexpr std::size_t kMostPlays = 20'000;
  std::vector<Position> game{position};
  PlayList plays;
  while (!game_over(position) && game.size() < kMostPlays) {
    generate_plays(position, roll_of_outcome(static_cast<int>(random() % kDiceOutcomes)), plays);
    position = position_after(position, plays[random() % plays.size()]);
    game.push_back(position);
  }
  return game;
}

/// Checks that each position of a finished game allowed the outcome that came.
void check_outcome_was_possible(const std::vector<Position>& game) {
  std::optional<Outcome> outcome = game_result(game.back());
  REQUIRE(outcome);
  for (auto position = game.rbegin(); position != game.rend(); ++position) {
    if ((possible_outcomes(*position) & bit(*outcome)) == 0) {
      FAIL(position_text(*position) << " excludes outcome " << static_cast<int>(*outcome)
                                    << ", which came at " << position_text(game.back()));
    }
    outcome = reversed(*outcome);
  }
}

/// Checks that no play makes an outcome possible that was not possible before.
void check_plays_add_no_outcome(const Position& position, Roll roll) {
  const unsigned before = possible_outcomes(position);
  PlayList plays;
  generate_plays(position, roll, plays);
  for (const PlayKey play : plays) {
    const Position next = position_after(position, play);
    const unsigned after = reversed_set(possible_outcomes(next));
    if ((after & ~before) != 0) {
      FAIL(position_text(position) << " allows " << set_text(before) << " but leads to "
                                   << position_text(next) << ", which allows " << set_text(after));
    }
  }
}

/// The definition of a race, point by point.
bool have_passed(const Position& position) {
  for (int roller = 1; roller <= kBar; ++roller) {
    for (int opponent = 1; opponent <= kBar; ++opponent) {
      // Counted from the roller's side the other checker stands on 25 - opponent.
      const bool both = position.roller[roller] > 0 && position.opponent[opponent] > 0;
      if (both && roller > 25 - opponent) return false;
    }
  }
  return true;
}

}  // namespace

TEST_CASE("The result of every small finished game agrees with the oracle") {
  int finished = 0;
  for (const auto& [checkers, highest_point] : kSmallGames) {
    for (const Position& position : oracle::all_positions(checkers, highest_point)) {
      const std::optional<Outcome> result = game_result(position);
      if (result != oracle::outcome(position)) FAIL(position_text(position));
      if (result.has_value() != game_over(position)) FAIL(position_text(position));
      finished += result ? 1 : 0;
    }
  }
  CHECK(finished > 900);
}

TEST_CASE("The result of random games agrees with the oracle and was possible all along") {
  std::mt19937_64 random(20240321);
  std::vector<int> seen(kOutcomeCount, 0);
  int unfinished = 0;
  for (int i = 0; i < 6'000; ++i) {
    const int checkers = i % 2 == 0 ? kMaxCheckers : 1 + i / 2 % kMaxCheckers;
    const std::vector<Position> game =
        random_game(oracle::random_position(random, checkers), random);
    if (!game_over(game.back())) {
      ++unfinished;
      continue;
    }
    const std::optional<Outcome> result = game_result(game.back());
    REQUIRE(result);
    REQUIRE(result == oracle::outcome(game.back()));
    REQUIRE(game_result(swapped(game.back())) == reversed(*result));
    ++seen[static_cast<std::size_t>(*result)];
    check_outcome_was_possible(game);
  }
  // Two sides that hold full primes against each other never finish.
  CHECK(unfinished < 60);
  // The winner has made the last play, so that the side on roll has lost.
  for (const int i : {0, 1, 2}) CHECK(seen[static_cast<std::size_t>(i)] > 100);
}

TEST_CASE("The size of a loss depends on the loser's checkers alone") {
  struct Finished {
    const char* position;
    Outcome outcome;
  };
  for (const Finished& game : {
           Finished{"6x14 / ", Outcome::kLoseSingle},
           Finished{"barx14 / ", Outcome::kLoseSingle},
           Finished{"24x14 / ", Outcome::kLoseSingle},
           Finished{"6x15 / ", Outcome::kLoseGammon},
           Finished{"18 6x14 / ", Outcome::kLoseGammon},
           Finished{"19 6x14 / ", Outcome::kLoseBackgammon},
           Finished{"24 6x14 / ", Outcome::kLoseBackgammon},
           Finished{"bar 6x14 / ", Outcome::kLoseBackgammon},
       }) {
    INFO(game.position);
    const Position position = parse_position(game.position);
    CHECK(game_result(position) == game.outcome);
    CHECK(game_result(swapped(position)) == reversed(game.outcome));
  }
  CHECK(game_result(parse_position("6 / 6")) == std::nullopt);
}

TEST_CASE("Outcomes are excluded by checkers borne off and by races and by the end of the game") {
  struct Case {
    const char* position;
    unsigned outcomes;
  };
  constexpr unsigned kSingles = kLoseSingle | kWinSingle;
  constexpr unsigned kGammons = kLoseGammon | kWinGammon;
  for (const Case& row : {
           // With contact and no checker off everything is possible.
           Case{"24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5", kAllOutcomes},
           Case{"bar 6x14 / 13x15", kAllOutcomes},
           // A checker off saves the gammon, in contact too.
           Case{"24 6x13 / 13x15", kAllOutcomes & ~kLoseGammon & ~kLoseBackgammon},
           Case{"13x15 / 24 6x13", kAllOutcomes & ~kWinGammon & ~kWinBackgammon},
           Case{"barx14 / barx14", kSingles},
           // In a race the backgammon is saved once the other's home board is left.
           Case{"12x15 / 12x15", kSingles | kGammons},
           Case{"18x15 / 6x15", kSingles | kGammons},
           Case{"19 6x14 / 5x15", kSingles | kGammons | kLoseBackgammon},
           Case{"5x15 / 19 6x14", kSingles | kGammons | kWinBackgammon},
           Case{"19 6x14 / 5x14", kSingles | kLoseGammon | kLoseBackgammon},
           Case{"19 6x13 / 5x15", kSingles | kWinGammon},
           Case{"6x14 / 6x14", kSingles},
           // In contact a side that has left it can be hit and lose one.
           Case{"13x15 / 13 6x14", kAllOutcomes},
           // A finished game has its outcome.
           Case{"6x14 / ", kLoseSingle},
           Case{" / 24 6x14", kWinBackgammon},
       }) {
    INFO(row.position);
    CHECK(set_text(possible_outcomes(parse_position(row.position))) == set_text(row.outcomes));
  }
}

TEST_CASE("With one checker a side every loss is a gammon at least") {
  CHECK(possible_outcomes(parse_position("24 / 24", 1)) ==
        (kAllOutcomes & ~kLoseSingle & ~kWinSingle));
  CHECK(possible_outcomes(parse_position("6 / 6", 1)) == (kLoseGammon | kWinGammon));
  CHECK(possible_outcomes(parse_position("20 / 4", 1)) ==
        (kLoseBackgammon | kLoseGammon | kWinGammon));
  // With two a side the loser can have borne off one.
  CHECK((possible_outcomes(parse_position("24x2 / 24x2", 2)) & kLoseSingle) != 0);
}

TEST_CASE("The other player sees the same possible outcomes reversed") {
  std::mt19937_64 random(20240322);
  for (int i = 0; i < 20'000; ++i) {
    const Position position = oracle::random_position(random, 1 + i % kMaxCheckers);
    if (possible_outcomes(swapped(position)) != reversed_set(possible_outcomes(position))) {
      FAIL(position_text(position));
    }
  }
}

TEST_CASE("No play makes an outcome possible that was excluded before") {
  for (const auto& [checkers, highest_point] : kSmallGames) {
    for (const Position& position : oracle::all_positions(checkers, highest_point)) {
      if (game_over(position)) continue;
      for (const Roll roll : kRolls) check_plays_add_no_outcome(position, roll);
    }
  }
  std::mt19937_64 random(20240323);
  for (int i = 0; i < 3'000; ++i) {
    const Position position = oracle::random_position(random, kMaxCheckers);
    for (const Roll roll : kRolls) check_plays_add_no_outcome(position, roll);
  }
}

TEST_CASE("A race is a position in which the sides have passed one another") {
  std::mt19937_64 random(20240324);
  int races = 0;
  for (int i = 0; i < 50'000; ++i) {
    const Position position = oracle::random_position(random, 1 + i % kMaxCheckers);
    if (is_race(position) != have_passed(position)) FAIL(position_text(position));
    races += is_race(position) ? 1 : 0;
  }
  CHECK(races > 1'000);
  for (const Position& position : oracle::all_positions(1, kPoints)) {
    if (game_over(position)) continue;
    if (is_race(position) != have_passed(position)) FAIL(position_text(position));
  }
}

TEST_CASE("A side counts its checkers and its pips and finds its rearmost checker") {
  const Position start = parse_position("24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5");
  CHECK(start.roller.pips() == 167);
  std::mt19937_64 random(20240325);
  for (int i = 0; i < 20'000; ++i) {
    const int checkers = 1 + i % kMaxCheckers;
    const Side side = oracle::random_position(random, checkers).roller;
    int rearmost = 0;
    int pips = 0;
    for (int location = 0; location <= kBar; ++location) {
      if (side[location] > 0) rearmost = location;
      pips += location * side[location];
    }
    if (side.rearmost() != rearmost || side.pips() != pips || side.total() != checkers) {
      FAIL(position_text({side, side}));
    }
  }
}

TEST_CASE("A distribution of outcomes is turned and summed and weighed in the order of outcomes") {
  const OutcomeDistribution distribution{{0.01, 0.09, 0.3, 0.4, 0.15, 0.05}};
  CHECK(distribution[Outcome::kLoseGammon] == 0.09);
  CHECK(distribution.win_probability() == Approx(0.6));
  CHECK(distribution.win_gammon_or_better_probability() == Approx(0.2));
  CHECK(distribution.lose_gammon_or_worse_probability() == Approx(0.1));
  CHECK(reversed(distribution)[Outcome::kWinGammon] == 0.09);
  CHECK(reversed(reversed(distribution)) == distribution);
  // Money: 3, 2 and 1 points.
  CHECK(worth_of(distribution, {-3, -2, -1, 1, 2, 3}) ==
        Approx(-0.03 - 0.18 - 0.3 + 0.4 + 0.3 + 0.15));
  OutcomeDistribution sum = distribution;
  sum += certain(Outcome::kWinSingle);
  sum *= 0.5;
  CHECK(sum.win_probability() == Approx(0.8));
  sum *= 2.0;
  sum -= distribution;
  CHECK(sum[Outcome::kWinSingle] == Approx(1.0));
  for (int i = 0; i < kOutcomeCount; ++i) {
    const auto outcome = static_cast<Outcome>(i);
    CHECK(reversed(reversed(outcome)) == outcome);
    CHECK(reversed(certain(outcome)) == certain(reversed(outcome)));
  }
}

}  // namespace sixfold
