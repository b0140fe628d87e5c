#include "train/duel.h"

#include <array>
#include <atomic>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdint>

#include "evaluator/evaluator.h"
#include "evaluator/network_fixtures.h"
#include "oracles/plays_oracle.h"
#include "rollout/choice.h"
#include "rollout/random_stream.h"
#include "rules/notation.h"
#include "rules/start.h"

namespace sixfold {
namespace {

Networks small_pair(std::uint32_t seed) {
  return {modest_network(64, seed), modest_network(64, seed + 1)};
}

DuelSettings settings_of(std::uint64_t pairs, int threads = 1) {
  DuelSettings settings;
  settings.pairs = pairs;
  settings.seed = 7;
  settings.threads = threads;
  return settings;
}

/// What the starter wins with the first pair's dice: one game, played step by step.
double points_of_starter(const Evaluator& starter, const Evaluator& other, std::uint64_t seed,
                         const OutcomeWorth& worth = kMoneyWorth) {
  RandomStream dice(seed, 0);
  ChoiceScratch scratch;
  Position position = start_position();
  for (int ply = 0; true; ++ply) {
    if (const auto outcome = oracle::outcome(position)) {
      const auto place = static_cast<std::size_t>(*outcome);
      return worth[ply % 2 == 0 ? place : kOutcomeCount - 1 - place];
    }
    Roll roll = dice.roll();
    while (ply == 0 && roll.is_doubles()) roll = dice.roll();
    const Evaluator& player = ply % 2 == 0 ? starter : other;
    const OutcomeWorth own = ply % 2 == 0 ? worth : opponents_worth(worth);
    position = position_after(position, best_play(player, position, roll, own, scratch).play);
  }
}

void check_equal(const DuelResult& a, const DuelResult& b) {
  CHECK(a.pairs == b.pairs);
  CHECK(a.points_per_game == b.points_per_game);
  CHECK(a.standard_error == b.standard_error);
  CHECK(a.win_fraction == b.win_fraction);
}

}  // namespace

TEST_CASE("pairs begin at the given positions in turn") {
  // The side on roll wins at once, whoever has that seat; so nobody gains on the other.
  DuelSettings settings = settings_of(20);
  settings.starts = {parse_position("1 / 6x5 5x5 4x5"), parse_position("1 / 1")};
  const NetworkEvaluator first(small_pair(1));
  const NetworkEvaluator second(small_pair(3));
  const DuelResult result = duel(first, second, settings);
  CHECK(result.points_per_game == 0.0);
  CHECK(result.win_fraction == 0.5);
  CHECK(result.standard_error == 0.0);
}

TEST_CASE("a duel of a network against itself gives no points, without error") {
  const NetworkEvaluator first(small_pair(1));
  const NetworkEvaluator second(small_pair(1));
  for (const int checkers : {15, 3}) {
    DuelSettings settings = settings_of(50);
    settings.checkers = checkers;
    const DuelResult result = duel(first, second, settings);
    CHECK(result.pairs == 50);
    CHECK(result.points_per_game == 0.0);
    CHECK(result.standard_error == 0.0);
    CHECK(result.win_fraction == 0.5);
  }
}

TEST_CASE("a duel repeats for any number of threads") {
  const NetworkEvaluator first(small_pair(1));
  const NetworkEvaluator second(small_pair(3));
  // Not a multiple of the pairs that a thread takes at a time.
  const DuelResult expected = duel(first, second, settings_of(70));
  CHECK(expected.pairs == 70);
  CHECK(expected.standard_error > 0.0);
  for (const int threads : {1, 2, 5}) {
    INFO(threads << " threads");
    check_equal(duel(first, second, settings_of(70, threads)), expected);
  }
}

TEST_CASE("a duel follows its seed") {
  const NetworkEvaluator first(small_pair(1));
  const NetworkEvaluator second(small_pair(3));
  DuelSettings settings = settings_of(70);
  const DuelResult result = duel(first, second, settings);
  settings.seed = 8;
  CHECK(duel(first, second, settings).points_per_game != result.points_per_game);
}

TEST_CASE("every pair of a duel has dice of its own") {
  const NetworkEvaluator first(small_pair(1));
  const NetworkEvaluator second(small_pair(3));
  const double of_16 = duel(first, second, settings_of(16)).points_per_game;
  const double of_32 = duel(first, second, settings_of(32)).points_per_game;
  const double of_48 = duel(first, second, settings_of(48)).points_per_game;
  CHECK(of_32 != of_16);
  CHECK(of_48 != of_32);
}

TEST_CASE("a pair is two games on the same dice with the seats swapped") {
  const NetworkEvaluator first(small_pair(1));
  const NetworkEvaluator second(small_pair(3));
  DuelSettings settings = settings_of(1);
  int unequal = 0;
  for (settings.seed = 0; settings.seed < 40; ++settings.seed) {
    const double as_starter = points_of_starter(first, second, settings.seed);
    const double as_other = -points_of_starter(second, first, settings.seed);
    const DuelResult result = duel(first, second, settings);
    INFO("seed " << settings.seed);
    CHECK(result.points_per_game == (as_starter + as_other) / 2.0);
    CHECK(result.win_fraction == ((as_starter > 0.0 ? 0.5 : 0.0) + (as_other > 0.0 ? 0.5 : 0.0)));
    unequal += as_starter != as_other ? 1 : 0;
  }
  CHECK(unequal > 10);
}

TEST_CASE("at a score both choose by it and results are what it makes them worth") {
  const NetworkEvaluator first(small_pair(1));
  const NetworkEvaluator second(small_pair(3));
  DuelSettings settings = settings_of(1);
  settings.score = parse_score("gammon-go", own_match_equities());
  constexpr OutcomeWorth kGammonGo{-1.0, -1.0, -1.0, 1.0, 3.0, 3.0};
  double larger_than_single = 0.0;
  for (settings.seed = 0; settings.seed < 40; ++settings.seed) {
    const double as_starter = points_of_starter(first, second, settings.seed, kGammonGo);
    const double as_other = -points_of_starter(second, first, settings.seed, kGammonGo);
    CHECK(duel(first, second, settings).points_per_game == (as_starter + as_other) / 2.0);
    larger_than_single += as_starter > 1.0 ? 1.0 : 0.0;
  }
  CHECK(larger_than_single > 0.0);
}

TEST_CASE("exchanging the players of a duel turns its result round") {
  const NetworkEvaluator first(small_pair(1));
  const NetworkEvaluator second(small_pair(3));
  const DuelResult there = duel(first, second, settings_of(100));
  const DuelResult back = duel(second, first, settings_of(100));
  CHECK(there.points_per_game != 0.0);
  CHECK(back.points_per_game == -there.points_per_game);
  CHECK(back.standard_error == there.standard_error);
  CHECK(back.win_fraction == Approx(1.0 - there.win_fraction));
}

TEST_CASE("the standard error of a duel falls with the square root of its length") {
  const NetworkEvaluator first(small_pair(1));
  const NetworkEvaluator second(small_pair(3));
  const double of_few = duel(first, second, settings_of(100)).standard_error;
  const double of_many = duel(first, second, settings_of(1600)).standard_error;
  CHECK(of_few / of_many == Approx(4.0).epsilon(0.25));
  // The mean of two games' points can't spread more than these do.
  CHECK(of_many * std::sqrt(1600.0) < 3.0);
  CHECK(of_many * std::sqrt(1600.0) > 0.3);
  CHECK(duel(first, second, settings_of(1)).standard_error == 0.0);
}

TEST_CASE("the standard error of a duel agrees with the spread of its result over seeds") {
  constexpr std::uint64_t kSeeds = 120;
  const NetworkEvaluator first(small_pair(1));
  const NetworkEvaluator second(small_pair(3));
  DuelSettings settings = settings_of(16);
  double sum = 0.0;
  double squares = 0.0;
  double squared_errors = 0.0;
  for (settings.seed = 0; settings.seed < kSeeds; ++settings.seed) {
    const DuelResult result = duel(first, second, settings);
    sum += result.points_per_game;
    squares += result.points_per_game * result.points_per_game;
    squared_errors += result.standard_error * result.standard_error;
  }
  const auto n = static_cast<double>(kSeeds);
  const double spread = std::sqrt((squares - sum * sum / n) / (n - 1.0));
  // The spread of so many results is itself uncertain by about 6.5%.
  CHECK(std::sqrt(squared_errors / n) == Approx(spread).epsilon(0.2));
}

TEST_CASE("a duel tells its progress and stops when told to") {
  const NetworkEvaluator first(small_pair(1));
  const NetworkEvaluator second(small_pair(3));
  std::atomic<bool> stop{false};
  std::uint64_t last = 0;
  DuelSettings settings = settings_of(1000);
  settings.stop = &stop;
  settings.progress = [&](const DuelResult& so_far) {
    CHECK(so_far.pairs > last);
    CHECK(so_far.standard_error >= 0.0);
    last = so_far.pairs;
    if (last >= 40) stop = true;
  };
  const DuelResult result = duel(first, second, settings);
  CHECK(result.pairs == last);
  CHECK(result.pairs >= 40);
  CHECK(result.pairs < 200);
  check_equal(duel(first, second, settings_of(result.pairs)), result);
  const DuelResult none = duel(first, second, settings);
  CHECK(none.pairs == 0);
  CHECK(none.points_per_game == 0.0);
}

}  // namespace sixfold
