#include "train/sample.h"

#include <algorithm>
#include <array>
#include <atomic>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdint>
#include <vector>

#include "evaluator/network_fixtures.h"
#include "oracles/plays_oracle.h"
#include "rollout/small_race.h"
#include "rules/notation.h"
#include "rules/start.h"

namespace sixfold {
namespace {

Networks small_pair(std::uint32_t seed) {
  return {modest_network(64, seed), modest_network(64, seed + 1)};
}

SampleSettings sample_of(std::uint64_t positions, int checkers = 3) {
  SampleSettings settings;
  settings.positions = positions;
  settings.seed = 7;
  settings.checkers = checkers;
  return settings;
}

const Position& race_start() {
  static const Position start = parse_position("6 5 3 / 6 4 2", 3);
  return start;
}

}  // namespace

TEST_CASE("a sample holds the positions of games in order, with their values and ends") {
  const NetworkEvaluator evaluator(small_pair(1));
  ChoiceScratch scratch;
  const auto sampled = sample(evaluator, sample_of(300));
  REQUIRE(sampled.size() == 300);
  std::array<int, kOutcomeCount> ends{};
  std::size_t at = 0;
  for (std::uint64_t number = 0; at < sampled.size(); ++number) {
    const GameRecord game =
        play_game(evaluator, start_position(3), kMoneyWorth, 7, number, scratch);
    // The last position as each of the two sees it.
    const auto of_loser = oracle::outcome(game.positions.back());
    const auto of_winner = oracle::outcome(swapped(game.positions.back()));
    REQUIRE(of_loser);
    REQUIRE(of_winner);
    const std::size_t last = game.positions.size() - 1;
    for (std::size_t t = 0; t < last && at < sampled.size(); ++t, ++at) {
      CHECK(sampled[at].position == game.positions[t]);
      CHECK(sampled[at].outcomes == evaluator.evaluate(game.positions[t]));
      CHECK_FALSE(sampled[at].standard_errors);
      CHECK(sampled[at].end == ((last - t) % 2 == 0 ? *of_loser : *of_winner));
      ++ends[static_cast<std::size_t>(sampled[at].end)];
    }
  }
  CHECK(ends[2] + ends[1] + ends[0] > 50);
  CHECK(ends[3] + ends[4] + ends[5] > 50);
}

TEST_CASE("a sample is the same for any number of threads, and another for another seed") {
  const NetworkEvaluator evaluator(small_pair(1));
  SampleSettings settings = sample_of(40);
  settings.trials = 36;
  settings.exploration.share = 0.3;
  const auto by_one = sample(evaluator, settings);
  settings.threads = 3;
  CHECK(sample(evaluator, settings) == by_one);
  settings.seed = 8;
  CHECK(sample(evaluator, settings) != by_one);
  settings.seed = 7;
  settings.exploration.share = 0.0;
  CHECK(sample(evaluator, settings) != by_one);
}

TEST_CASE("games of a sample begin at the starts in turn, the sides of a score as well") {
  const NetworkEvaluator evaluator(small_pair(1));
  SampleSettings settings = sample_of(200);
  settings.starts = {parse_position("24 23 5 / 24 22 6", 3), parse_position("bar 8 / 20 4 3", 3)};
  settings.score = parse_score("gammon-go", own_match_equities());
  const OutcomeWorth& worth = settings.score.worth;
  const std::array<OutcomeWorth, 2> worths{worth, opponents_worth(worth)};
  REQUIRE(worths[0] != worths[1]);
  const auto sampled = sample(evaluator, settings);
  ChoiceScratch scratch;
  std::size_t at = 0;
  for (std::uint64_t number = 0; at < sampled.size(); ++number) {
    const GameRecord game =
        play_game(evaluator, settings.starts[number % 2], worths[number % 2], 7, number, scratch);
    for (std::size_t t = 0; t + 1 < game.positions.size() && at < sampled.size(); ++t, ++at) {
      CHECK(sampled[at].position == game.positions[t]);
    }
  }
}

TEST_CASE("rolled-out positions of a sample are true to their errors, each with its own dice") {
  const SmallRace race(race_start(), 0.15);
  SampleSettings settings = sample_of(60);
  settings.starts = {race_start()};
  settings.trials = 216;
  std::vector<double> of_start;  // Chances to win, once a game.
  double squares = 0.0;
  double count = 0.0;
  for (const SampledPosition& sampled : sample(race, settings)) {
    REQUIRE(sampled.standard_errors);
    const OutcomeDistribution truth = race.truth(sampled.position);
    double sum = 0.0;
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      INFO(position_text(sampled.position) << ", outcome " << o);
      const double error = (*sampled.standard_errors)[o];
      CHECK(std::abs(sampled.outcomes[o] - truth[o]) <= 6.0 * error + 1e-9);
      if ((possible_outcomes(sampled.position) >> o & 1u) != 0) CHECK(error > 1e-6);
      sum += sampled.outcomes[o];
    }
    CHECK(sum == Approx(1.0));
    if (sampled.position == race_start()) of_start.push_back(sampled.outcomes.win_probability());
    if (const double error = (*sampled.standard_errors)[3]; error > 1e-9) {
      squares += std::pow((sampled.outcomes[3] - truth[3]) / error, 2);
      count += 1.0;
    }
  }
  // Deviations are as large as the errors say: their mean square is 1, to four of its own errors.
  REQUIRE(count >= 30.0);
  CHECK(std::abs(squares / count - 1.0) < 4.0 * std::sqrt(2.0 / count));
  REQUIRE(of_start.size() >= 5);
  std::sort(of_start.begin(), of_start.end());
  CHECK(std::adjacent_find(of_start.begin(), of_start.end()) == of_start.end());
}

TEST_CASE("how the games of a sample end agrees with its exact distributions") {
  const SmallRace race(race_start());
  SampleSettings settings = sample_of(8000);
  settings.starts = {race_start()};
  double games = 0.0;
  OutcomeDistribution ends;
  for (const SampledPosition& sampled : sample(race, settings)) {
    if (sampled.position != race_start()) continue;
    ends += certain(sampled.end);
    games += 1.0;
  }
  REQUIRE(games > 1000.0);
  const OutcomeDistribution truth = race.truth(race_start());
  for (std::size_t o = 0; o < kOutcomeCount; ++o) {
    const double error = std::sqrt(truth[o] * (1.0 - truth[o]) / games);
    CHECK(std::abs(ends[o] / games - truth[o]) <= 4.0 * error);
  }
}

TEST_CASE("a sample tells its progress, and a stopped one is nothing") {
  const NetworkEvaluator evaluator(small_pair(1));
  std::atomic<bool> stop{false};
  std::uint64_t last = 0;
  SampleSettings settings = sample_of(30);
  settings.trials = 36;
  settings.stop = &stop;
  settings.progress = [&](std::uint64_t finished) {
    CHECK(finished >= last);
    last = finished;
  };
  CHECK(sample(evaluator, settings).size() == 30);
  CHECK(last == 30);
  settings.progress = [&](std::uint64_t finished) { stop = finished >= 10; };
  CHECK(sample(evaluator, settings).empty());
}

}  // namespace sixfold
