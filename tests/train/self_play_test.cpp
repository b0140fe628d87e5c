#include "train/self_play.h"

#include <algorithm>
#include <array>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdint>
#include <vector>

#include "evaluator/network_fixtures.h"
#include "oracles/plays_oracle.h"
#include "rollout/random_stream.h"
#include "rules/game_result.h"
#include "rules/notation.h"
#include "rules/start.h"

namespace sixfold {
namespace {

constexpr std::array<double, kOutcomeCount> kPoints123{-3.0, -2.0, -1.0, 1.0, 2.0, 3.0};

Networks small_pair(std::uint32_t seed) {
  return {modest_network(64, seed), modest_network(64, seed + 1)};
}

GameRecord game_of(std::uint64_t seed, std::uint64_t game, int checkers = kMaxCheckers) {
  const NetworkEvaluator evaluator(small_pair(1));
  ChoiceScratch scratch;
  return play_game(evaluator, start_position(checkers), kMoneyWorth, seed, game, scratch);
}

/// A made-up game of three positions; the side on roll in the fourth has lost a gammon. Only the
/// number of positions and the last one matter.
GameRecord lost_gammon() {
  const Position any = start_position();
  return {{any, any, any, parse_position("10x15 / ")}, {}};
}

constexpr TargetOutcomes kGammonLost{0.0f, 1.0f, 0.0f, 0.0f, 0.0f, 0.0f};
constexpr TargetOutcomes kGammonWon{0.0f, 0.0f, 0.0f, 0.0f, 1.0f, 0.0f};

/// The network's outputs for the made-up game. The first must not matter.
const std::vector<TargetOutcomes> kValues{{1.0f, 0.0f, 0.0f, 0.0f, 0.0f, 0.0f},
                                          {0.05f, 0.1f, 0.2f, 0.4f, 0.2f, 0.05f},
                                          {0.0f, 0.1f, 0.3f, 0.4f, 0.2f, 0.0f}};

void check_target(const TargetOutcomes& found, const TargetOutcomes& expected) {
  for (std::size_t o = 0; o < kOutcomeCount; ++o) {
    CHECK(static_cast<double>(found[o]) == Approx(static_cast<double>(expected[o])).margin(1e-6));
  }
}

/// The position is a result of a legal play of some roll.
bool follows(const Position& before, const Position& after) {
  return std::any_of(kRolls.begin(), kRolls.end(), [&](Roll roll) {
    const std::vector<Position> results = oracle::results(before, roll);
    return std::find(results.begin(), results.end(), after) != results.end();
  });
}

}  // namespace

TEST_CASE("with lambda 1 every target is the result, seen by its own side on roll") {
  const auto targets = lambda_returns(lost_gammon(), kValues, {}, 1.0f);
  REQUIRE(targets.size() == 3);
  check_target(targets[2], kGammonWon);
  check_target(targets[1], kGammonLost);
  check_target(targets[0], kGammonWon);
}

TEST_CASE("with lambda 0 every target is the next position's value, seen from the other side") {
  const auto targets = lambda_returns(lost_gammon(), kValues, {}, 0.0f);
  REQUIRE(targets.size() == 3);
  check_target(targets[2], kGammonWon);
  check_target(targets[1], {0.0f, 0.2f, 0.4f, 0.3f, 0.1f, 0.0f});
  check_target(targets[0], {0.05f, 0.2f, 0.4f, 0.2f, 0.1f, 0.05f});
}

TEST_CASE("with lambda .7 the targets mix the next value with the next target") {
  const auto targets = lambda_returns(lost_gammon(), kValues, {}, 0.7f);
  REQUIRE(targets.size() == 3);
  check_target(targets[2], kGammonWon);
  check_target(targets[1], {0.0f, 0.76f, 0.12f, 0.09f, 0.03f, 0.0f});
  check_target(targets[0], {0.015f, 0.081f, 0.183f, 0.144f, 0.562f, 0.015f});
}

TEST_CASE("the luck of a position's roll is taken out of its target and of all before it") {
  const std::vector<TargetOutcomes> luck{{0.0f, 0.0f, 0.1f, -0.1f, 0.0f, 0.0f},
                                         {-0.2f, 0.0f, 0.0f, 0.2f, 0.0f, 0.0f},
                                         {0.0f, 0.0f, -0.3f, 0.0f, 0.3f, 0.0f}};
  const auto results = lambda_returns(lost_gammon(), kValues, luck, 1.0f);
  REQUIRE(results.size() == 3);
  check_target(results[2], {0.0f, 0.0f, 0.3f, 0.0f, 0.7f, 0.0f});
  check_target(results[1], {0.2f, 0.7f, 0.0f, 0.1f, 0.0f, 0.0f});
  check_target(results[0], {0.0f, 0.0f, 0.0f, 0.1f, 0.7f, 0.2f});

  const auto steps = lambda_returns(lost_gammon(), kValues, luck, 0.0f);
  check_target(steps[2], {0.0f, 0.0f, 0.3f, 0.0f, 0.7f, 0.0f});
  check_target(steps[1], {0.2f, 0.2f, 0.4f, 0.1f, 0.1f, 0.0f});
  check_target(steps[0], {0.05f, 0.2f, 0.3f, 0.3f, 0.1f, 0.05f});
}

TEST_CASE("the luck of a game is that of its positions and rolls") {
  const NetworkEvaluator evaluator(small_pair(1));
  const FullControl source(evaluator);
  ChoiceScratch scratch;
  const GameRecord game = game_of(4, 1, 3);
  REQUIRE(game.rolls.size() + 1 == game.positions.size());
  const auto lucks = luck_of_rolls(game, kMoneyWorth, source, scratch);
  REQUIRE(lucks.size() == game.rolls.size());
  for (std::size_t t = 0; t < lucks.size(); ++t) {
    const Luck expected = source.luck(game.positions[t], game.rolls[t], kMoneyWorth, scratch);
    CHECK(position_after(game.positions[t], *expected.play) == game.positions[t + 1]);
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      CHECK(lucks[t][o] == static_cast<float>(expected.outcomes[o]));
    }
  }
}

TEST_CASE("an exact source's luck is the same however many rolls are looked at to mend it") {
  const NetworkEvaluator evaluator(small_pair(1));
  const FullControl source(evaluator);
  ChoiceScratch scratch;
  RandomStream random(7, 0);
  const GameRecord game = game_of(4, 1, 3);
  const auto exact = luck_of_rolls(game, kMoneyWorth, source, scratch);
  for (const int rolls : {1, 2, 6}) {
    const auto mended =
        mended_luck_of_rolls(game, kMoneyWorth, source, evaluator, rolls, random, scratch);
    REQUIRE(mended.size() == exact.size());
    for (std::size_t t = 0; t < exact.size(); ++t) check_target(mended[t], exact[t]);
  }
}

TEST_CASE("what a source gets wrong about a position is mended on average, races excepted") {
  /// Sees no luck in any roll.
  class Blind final : public LuckSource {
    Luck luck(const Position&, Roll, const PlayWorth&, ChoiceScratch&) const noexcept override {
      return {};
    }
  };
  const NetworkEvaluator evaluator(small_pair(1));
  const Position contact = parse_position("bar 8x4 6x5 4x3 3x2 / 24 13x4 6x5 5x3 1x2");
  const Position race = parse_position("6x3 5x2 / 6x4 4");
  const Roll roll(4, 2);
  const GameRecord game{{contact, race, race}, {roll, roll}};
  ChoiceScratch scratch;
  RandomStream random(7, 1);
  constexpr int kRepeats = 400;
  OutcomeDistribution sum;
  OutcomeDistribution squares;
  for (int i = 0; i < kRepeats; ++i) {
    const auto lucks =
        mended_luck_of_rolls(game, kMoneyWorth, Blind(), evaluator, 3, random, scratch);
    check_target(lucks[1], {});
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      const auto luck = static_cast<double>(lucks[0][o]);
      sum[o] += luck;
      squares[o] += luck * luck;
    }
  }
  // The game's own roll is one of the three, and blindness costs it a third of its luck.
  const Luck exact = FullControl(evaluator).luck(contact, roll, kMoneyWorth, scratch);
  for (std::size_t o = 0; o < kOutcomeCount; ++o) {
    const double mean = sum[o] / kRepeats;
    const double error = std::sqrt((squares[o] / kRepeats - mean * mean) / (kRepeats - 1));
    CHECK(error > 0.0);
    CHECK(mean == Approx(exact.outcomes[o] * 2.0 / 3.0).margin(4.0 * error));
  }
}

TEST_CASE("a game of a single play has its result as its target") {
  const GameRecord game{{parse_position("1 / 23x15"), parse_position("23x15 / ")}, {}};
  for (const float lambda : {0.0f, 0.7f, 1.0f}) {
    const auto targets = lambda_returns(game, std::vector{kValues[0]}, {}, lambda);
    REQUIRE(targets.size() == 1);
    check_target(targets[0], {0.0f, 0.0f, 0.0f, 0.0f, 0.0f, 1.0f});
  }
}

TEST_CASE("targets of real games are distributions over the outcomes still possible") {
  const Networks networks = small_pair(1);
  for (std::uint64_t number = 0; number < 20; ++number) {
    const GameRecord game = game_of(2, number, number % 2 == 0 ? 15 : 3);
    std::vector<TargetOutcomes> values(game.positions.size() - 1);
    for (std::size_t t = 0; t < values.size(); ++t) {
      const OutcomeDistribution value = plain_forward(networks, game.positions[t]);
      for (std::size_t o = 0; o < kOutcomeCount; ++o) values[t][o] = static_cast<float>(value[o]);
    }
    const auto targets = lambda_returns(game, values, {}, 0.7f);
    REQUIRE(targets.size() == values.size());
    for (std::size_t t = 0; t < targets.size(); ++t) {
      const unsigned possible = possible_outcomes(game.positions[t]);
      float sum = 0.0f;
      bool sound = true;
      for (std::size_t o = 0; o < kOutcomeCount; ++o) {
        const float share = targets[t][o];
        sound = sound && share >= 0.0f && ((possible >> o & 1u) != 0 || share == 0.0f);
        sum += share;
      }
      if (!sound || !(std::abs(sum - 1.0f) < 1e-5f)) {
        FAIL("game " << number << ", position " << position_text(game.positions[t]));
      }
    }
  }
}

TEST_CASE("a game goes from the start to its end by legal plays") {
  for (const int checkers : {15, 3, 1}) {
    for (std::uint64_t number = 0; number < 4; ++number) {
      const GameRecord game = game_of(3, number, checkers);
      REQUIRE(game.positions.size() > 1);
      CHECK(game.positions.front() == start_position(checkers));
      CHECK(oracle::outcome(game.positions.back()));
      for (std::size_t t = 0; t + 1 < game.positions.size(); ++t) {
        if (game_over(game.positions[t])) FAIL("the game went on after its end");
        if (!follows(game.positions[t], game.positions[t + 1])) {
          FAIL(position_text(game.positions[t]) << " to " << position_text(game.positions[t + 1]));
        }
      }
    }
  }
}

TEST_CASE("both sides make the play that the evaluator values most, with the game's own dice") {
  const NetworkEvaluator evaluator(small_pair(1));
  for (std::uint64_t number = 0; number < 3; ++number) {
    const GameRecord game = game_of(4, number);
    RandomStream random(4, number);
    for (std::size_t t = 0; t + 1 < game.positions.size(); ++t) {
      const auto results = oracle::results(game.positions[t], random.roll());
      const auto worth = [&](const Position& after) {
        return worth_of(reversed(evaluator.evaluate(after)), kPoints123);
      };
      double best = -4.0;
      for (const Position& after : results) best = std::max(best, worth(after));
      const Position& chosen = game.positions[t + 1];
      const bool is_result = std::find(results.begin(), results.end(), chosen) != results.end();
      if (!is_result || worth(chosen) != best) {
        FAIL("game " << number << ", position " << position_text(game.positions[t]));
      }
    }
  }
}

TEST_CASE("an explorer makes near plays too, and what the best would have been worth is kept") {
  const NetworkEvaluator evaluator(small_pair(1));
  constexpr Exploration kOften{0.5, 0.02};
  ChoiceScratch scratch;
  std::size_t turns = 0;
  std::size_t tried = 0;
  std::size_t others = 0;  // turns at which another play was near enough
  for (std::uint64_t number = 0; number < 20; ++number) {
    const GameRecord game =
        play_game(evaluator, start_position(), kMoneyWorth, 8, number, scratch, kOften);
    auto next = game.tried.begin();
    for (std::size_t t = 0; t < game.rolls.size(); ++t) {
      const Choice best =
          best_play(evaluator, game.positions[t], game.rolls[t], kMoneyWorth, scratch);
      const std::size_t near = static_cast<std::size_t>(std::count_if(
          scratch.outcomes.begin(),
          scratch.outcomes.begin() + static_cast<std::ptrdiff_t>(scratch.plays.size()),
          [&](const OutcomeDistribution& outcomes) {
            return worth_of(outcomes, kMoneyWorth) >= worth_of(best.outcomes, kMoneyWorth) - 0.02;
          }));
      others += near > 1 ? 1 : 0;
      const Position& after = game.positions[t + 1];
      if (next == game.tried.end() || next->turn != t) {
        CHECK(after == position_after(game.positions[t], best.play));
        continue;
      }
      CHECK(after != position_after(game.positions[t], best.play));
      const double worth = worth_of(reversed(evaluator.evaluate(after)), kMoneyWorth);
      if (!game_over(after)) CHECK(worth >= worth_of(best.outcomes, kMoneyWorth) - 0.02);
      for (std::size_t o = 0; o < kOutcomeCount; ++o) {
        CHECK(next->best[o] == static_cast<float>(best.outcomes[o]));
      }
      ++next;
    }
    CHECK(next == game.tried.end());
    turns += game.rolls.size();
    tried += game.tried.size();
  }
  CHECK(others < turns);
  // Half of the turns with a choice, to four standard errors.
  const auto expected = static_cast<double>(others) / 2.0;
  CHECK(std::abs(static_cast<double>(tried) - expected) <
        2.0 * std::sqrt(static_cast<double>(others)));
}

TEST_CASE("where another play was tried, targets before it go by the best play's value") {
  constexpr TargetOutcomes kBest{0.1f, 0.1f, 0.2f, 0.3f, 0.2f, 0.1f};
  GameRecord game = lost_gammon();
  game.tried = {{1, kBest}};
  const auto targets = lambda_returns(game, kValues, {}, 0.7f);
  REQUIRE(targets.size() == 3);
  check_target(targets[2], kGammonWon);
  check_target(targets[1], kBest);
  // .3 of the next value and .7 of the best play's, both seen from the other side
  check_target(targets[0], {0.085f, 0.2f, 0.33f, 0.2f, 0.1f, 0.085f});
  const std::vector<TargetOutcomes> luck{{}, {-0.2f, 0.0f, 0.0f, 0.2f, 0.0f, 0.0f}, {}};
  check_target(lambda_returns(game, kValues, luck, 0.7f)[1], {0.3f, 0.1f, 0.2f, 0.1f, 0.2f, 0.1f});
}

TEST_CASE("a game repeats for its seed and number, and differs for others") {
  const GameRecord game = game_of(5, 6);
  CHECK(game_of(5, 6).positions == game.positions);
  CHECK(game_of(5, 7).positions != game.positions);
  CHECK(game_of(6, 6).positions != game.positions);
}

TEST_CASE("the first roll of a game may be doubles") {
  int games_with_doubles = 0;
  for (std::uint64_t number = 0; number < 40; ++number) {
    const GameRecord game = game_of(7, number);
    const int pips = game.positions[0].roller.pips() - game.positions[1].opponent.pips();
    // Without doubles 11 pips are the most; 11 and 22 do not show.
    games_with_doubles += pips > 11 ? 1 : 0;
  }
  CHECK(games_with_doubles > 0);
  CHECK(games_with_doubles < 20);
}

}  // namespace sixfold
