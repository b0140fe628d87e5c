#include "rollout/rollout.h"

#include <atomic>
#include <catch2/catch.hpp>
#include <cmath>

#include "rollout/small_race.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

OutcomeDistribution means_of(const RolledPlay& play) {
  OutcomeDistribution means;
  for (std::size_t o = 0; o < kOutcomeCount; ++o) means[o] = play.outcomes[o].mean;
  return means;
}

void check_close(const OutcomeDistribution& a, const OutcomeDistribution& b, double margin) {
  for (std::size_t o = 0; o < kOutcomeCount; ++o) CHECK(a[o] == Approx(b[o]).margin(margin));
}

/// Luck adjustment by a false evaluator and few trials leave rare outcomes far from their values.
void check_distributions(const Problem& problem) {
  const SmallRace race(problem.position, 0.3);
  for (std::uint64_t seed = 1; seed <= 20; ++seed) {
    for (const RolledPlay& play : roll_out(race, problem, settings_of(36, seed)).plays) {
      INFO(position_text(problem.position) << ", seed " << seed);
      double sum = 0.0;
      for (const double mean : means_of(play).probability) {
        CHECK(mean >= 0.0);
        sum += mean;
      }
      CHECK(sum == Approx(1.0));
      CHECK(play.equity.mean == Approx(worth_of(means_of(play), kMoneyWorth)).margin(1e-12));
    }
  }
}

/// A race of three checkers a side in which gammons are won and lost, with several plays.
Problem three_checker_problem() { return problem_of("6 5 3 / 6 4 2", "21", 3); }

}  // namespace

TEST_CASE("Trials are rounded up to whole blocks and at least six of them") {
  CHECK(whole_blocks(1) == 36);
  CHECK(whole_blocks(36) == 36);
  CHECK(whole_blocks(37) == 42);
  CHECK(whole_blocks(1296) == 1296);
}

TEST_CASE("With an exact evaluator a rollout has the exact values and no error") {
  const Problem problem = three_checker_problem();
  const SmallRace race(problem.position);
  REQUIRE(problem.plays.size() > 2);
  const RolloutResult result = roll_out(race, problem, settings_of(36));
  REQUIRE(result.plays.size() == problem.plays.size());
  double equity_before = 3.0;
  for (const RolledPlay& play : result.plays) {
    const OutcomeDistribution truth = race.truth_after(problem.position, play.play);
    check_close(means_of(play), truth, 1e-12);
    CHECK(play.equity.mean == Approx(worth_of(truth, kMoneyWorth)));
    CHECK(play.equity.standard_error < 1e-12);
    CHECK(worth_of(truth, kMoneyWorth) <= equity_before + 1e-12);
    equity_before = worth_of(truth, kMoneyWorth);
  }
}

TEST_CASE("A rollout is from the viewpoint of the player who makes the play") {
  // After 1/off(2) the opponent, with checkers on 5 and 2, wins with nineteen rolls of 36 (any
  // table of one-roll chances; recomputed); otherwise the roller bears off his last checker.
  const Problem problem = problem_of("1x3 / 5 2", "21");
  const SmallRace race(problem.position);
  const RolledPlay adjusted = roll_out(race, problem, settings_of(36)).plays.at(0);
  CHECK(adjusted.outcomes[3].mean == Approx(17.0 / 36.0));
  CHECK(adjusted.outcomes[2].mean == Approx(19.0 / 36.0));
  CHECK(adjusted.equity.mean == Approx(-2.0 / 36.0));

  RolloutSettings settings = settings_of(7200);
  settings.make_plain();
  settings.confidence = 0.999;
  const RolledPlay plain = roll_out(race, problem, settings).plays.at(0);
  CHECK(plain.equity.half_width > 0.0);
  CHECK(std::abs(plain.equity.mean + 2.0 / 36.0) <= plain.equity.half_width);
  CHECK(plain.outcomes[0].mean + plain.outcomes[1].mean + plain.outcomes[4].mean +
            plain.outcomes[5].mean ==
        0.0);
}

TEST_CASE("Plain, adjusted, truncated and looking rollouts of one problem agree") {
  const Problem problem = three_checker_problem();
  const SmallRace exact(problem.position);
  const SmallRace noisy(problem.position, 0.05);
  RolloutSettings settings = settings_of(3600);
  settings.confidence = 0.999;
  const auto check_true = [&](const SmallRace& race) {
    for (const RolledPlay& play : roll_out(race, problem, settings).plays) {
      const OutcomeDistribution truth = race.truth_after(problem.position, play.play);
      for (std::size_t o = 0; o < kOutcomeCount; ++o) {
        INFO("outcome " << o << ", plain " << settings.is_plain());
        CHECK(std::abs(play.outcomes[o].mean - truth[o]) <= play.outcomes[o].half_width + 1e-9);
      }
    }
  };
  check_true(noisy);
  settings.make_plain();
  check_true(noisy);
  check_true(exact);
  settings.truncate = 2;
  check_true(exact);
  settings.truncate = 0;
  settings.lookahead = 1;
  settings.trials = 360;
  check_true(exact);
}

TEST_CASE("Intervals at 95% cover an exactly known value in 364 to 393 of 400 rollouts") {
  const Position position = parse_position("8 7 / 7 6", 2);
  const Problem problem = problem_of(position, "21");
  const SmallRace race(position, 0.15);
  for (const bool plain : {false, true}) {
    int covered = 0;
    int costs_covered = 0;
    for (std::uint64_t seed = 1; seed <= 400; ++seed) {
      RolloutSettings settings = settings_of(144, seed);
      if (plain) settings.make_plain();
      const RolloutResult result = roll_out(race, problem, settings);
      const auto truth = [&](const RolledPlay& play) {
        return worth_of(race.truth_after(position, play.play), kMoneyWorth);
      };
      const RolledPlay& best = result.plays.front();
      const RolledPlay& last = result.plays.back();
      covered += std::abs(best.equity.mean - truth(best)) <= best.equity.half_width ? 1 : 0;
      const double cost = truth(best) - truth(last);
      costs_covered += std::abs(last.cost.mean - cost) <= last.cost.half_width ? 1 : 0;
    }
    INFO((plain ? "plain" : "adjusted"));
    CHECK(covered >= 364);
    CHECK(covered <= 393);
    CHECK(costs_covered >= 364);
    CHECK(costs_covered <= 393);
  }
}

TEST_CASE("A position before the roll is rolled out for the side on roll, true to its errors") {
  const Position position = parse_position("6 5 3 / 6 4 2", 3);
  ThreadRunner runner;
  const SmallRace exact(position);
  const OutcomeDistribution truth = exact.truth(position);
  REQUIRE(truth.win_probability() > 0.5);
  const auto known = roll_out_position(exact, position, kMoneyWorth, settings_of(36), runner);
  REQUIRE(known);
  check_close(means_of(*known), truth, 1e-12);
  for (const Estimate& outcome : known->outcomes) CHECK(outcome.standard_error < 1e-12);

  const SmallRace noisy(position, 0.15);
  RolloutSettings settings = settings_of(1296);
  settings.confidence = kMostConfidence;
  for (const bool plain : {false, true}) {
    if (plain) settings.make_plain();
    const auto rolled = roll_out_position(noisy, position, kMoneyWorth, settings, runner);
    REQUIRE(rolled);
    CHECK(rolled->trials == 1296);
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      const Estimate& outcome = rolled->outcomes[o];
      INFO("outcome " << o << ", plain " << plain);
      CHECK(std::abs(outcome.mean - noisy.truth(position)[o]) <= outcome.half_width + 1e-9);
      CHECK(outcome.half_width < 0.06);
    }
    CHECK(rolled->outcomes[3].standard_error > 1e-4);
  }
  const std::atomic<bool> stop{true};
  ThreadRunner stopped(1, {&stop});
  CHECK_FALSE(roll_out_position(noisy, position, kMoneyWorth, settings, stopped));
}

TEST_CASE("The best play costs nothing, and the others the difference in equity") {
  const Problem problem = three_checker_problem();
  const SmallRace race(problem.position, 0.1);
  for (const char* score : {"money", "gammon-save"}) {
    const RolloutResult result = roll_out(race, problem, settings_of(216), score);
    REQUIRE(result.plays.size() == problem.plays.size());
    const OutcomeWorth worth = parse_score(score, own_match_equities()).worth;
    const RolledPlay& best = result.plays.front();
    CHECK(best.cost.mean == 0.0);
    CHECK(best.cost.half_width == 0.0);
    double best_probability = 0.0;
    for (const RolledPlay& play : result.plays) {
      CHECK(play.trials == 216);
      CHECK(play.equity.blocks == 36);
      CHECK(play.cost.mean >= 0.0);
      CHECK(play.cost.mean == Approx(best.equity.mean - play.equity.mean).margin(1e-12));
      CHECK(play.equity.mean == Approx(worth_of(means_of(play), worth)).margin(1e-12));
      CHECK(play.best_probability >= 0.0);
      best_probability += play.best_probability;
    }
    CHECK(best_probability == Approx(1.0));
  }
}

TEST_CASE(
    "The best play stays first and the others cost something when rare outcomes are settled") {
  const Problem problem = problem_of("9 8 7 / 4 3 2", "31", 3);
  const SmallRace race(problem.position, 0.3);
  for (std::uint64_t seed = 1; seed <= 50; ++seed) {
    INFO("seed " << seed);
    const RolloutResult result = roll_out(race, problem, settings_of(36, seed));
    CHECK(result.plays.front().cost.mean == 0.0);
    CHECK(result.plays.front().cost.half_width == 0.0);
    for (const RolledPlay& play : result.plays) CHECK(play.cost.mean >= 0.0);
  }
}

TEST_CASE("Common dice make costs surer than equities") {
  const Problem problem = three_checker_problem();
  const SmallRace race(problem.position);
  RolloutSettings settings = settings_of(3600);
  settings.make_plain();
  const RolloutResult result = roll_out(race, problem, settings);
  const RolledPlay& second = result.plays.at(1);
  CHECK(second.cost.half_width > 0.0);
  CHECK(second.cost.half_width < result.plays.at(0).equity.half_width);
}

TEST_CASE("Outcomes are never below zero and sum to one, however few the trials") {
  check_distributions(problem_of("6 5 3 / 6 4 2", "21", 3));
  check_distributions(problem_of("4 2 / 12 11 10", "21", 3));
  check_distributions(problem_of("9 8 / 3", "21", 2));
  check_distributions(problem_of("9 8 7 / 4 3 2", "31", 3));
}

TEST_CASE("Outcomes are never below zero where nearly all games end in a gammon") {
  // Almost nothing is left for single games to give when a gammon's share comes out below zero.
  check_distributions(problem_of("12 11 10 / 3 2", "21", 3));
  check_distributions(problem_of("3x2 1 / 14 9 8", "21", 3));
}

TEST_CASE("An only play is the best, and no half-width keeps it going") {
  const Problem single = problem_of("1x3 / 5 2", "21");
  REQUIRE(single.plays.size() == 1);
  const SmallRace race(single.position);
  RolloutSettings settings = settings_of(36);
  settings.half_width = 1e-9;
  const RolloutResult result = roll_out(race, single, settings);
  REQUIRE(result.plays.size() == 1);
  CHECK(result.plays[0].best_probability == Approx(1.0));
  CHECK(result.plays[0].cost.mean == 0.0);
  CHECK(result.plays[0].trials == 36);
  CHECK_FALSE(result.interrupted);
}

TEST_CASE("A play that ends the game has its outcome without error") {
  const Problem problem = problem_of("1x2 / 6 5 4", "21", 3);
  const SmallRace race(problem.position);
  const RolledPlay play = roll_out(race, problem, settings_of(36)).plays.at(0);
  CHECK(play.outcomes[4].mean == Approx(1.0));
  CHECK(play.equity.mean == Approx(2.0));
  CHECK(play.equity.standard_error == Approx(0.0).margin(1e-12));
}

}  // namespace sixfold
