// The parts of a cost by the first roll add up to it, and each is what the roll contributes.
#include "rollout/roll_split.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <functional>

#include "evaluator/network_fixtures.h"
#include "exact/bear_off_tables.h"
#include "rollout/dice_plan.h"
#include "rollout/small_race.h"

namespace sixfold {
namespace {

using Parts = std::array<Estimate, kRollCount>;

void check_sum(const Parts& parts, const Estimate& cost) {
  double sum = 0.0;
  for (const Estimate& part : parts) {
    CHECK(part.half_width >= 0.0);
    sum += part.mean;
  }
  CHECK(sum == Approx(cost.mean).margin(1e-12));
}

void check_sums(const RolloutResult& result) {
  REQUIRE(result.plays.size() > 1);
  CHECK(result.plays.front().by_roll == Parts{});
  for (std::size_t i = 1; i < result.plays.size(); ++i) {
    CAPTURE(i);
    check_sum(result.plays[i].by_roll, result.plays[i].cost);
    CHECK(result.plays[i].by_roll != Parts{});
  }
}

/// What the game is worth to the player of `play` once the opponent has rolled and played.
double equity_after(const SmallRace& race, const Position& position, PlayKey play, Roll roll) {
  const Position his = position_after(position, play);
  PlayList replies;
  generate_plays(his, roll, replies);
  double best = -4.0;
  double equity = 0.0;
  for (const PlayKey reply : replies) {
    const Position after = position_after(his, reply);
    const double worth = worth_of(reversed(race.evaluate(after)), kMoneyWorth);
    if (worth <= best) continue;
    best = worth;
    equity = worth_of(race.truth(after), kMoneyWorth);
  }
  return equity;
}

/// The true parts of what one play costs against another.
std::array<double, kRollCount> true_parts(const SmallRace& race, const Position& position,
                                          PlayKey best, PlayKey other) {
  std::array<double, kRollCount> parts;
  for (std::size_t r = 0; r < kRollCount; ++r) {
    parts[r] = roll_probability(r) * (equity_after(race, position, best, kRolls[r]) -
                                      equity_after(race, position, other, kRolls[r]));
  }
  return parts;
}

/// A contact game of two plays by a net, with bear-off tables at its end.
Problem contact() {
  Problem problem = problem_of("24 6x3 4x2 3 / 20x2 6x2 2", "31");
  problem.plays.resize(3);
  return problem;
}

const Evaluator& network() {
  static const NetworkEvaluator kEvaluator(Networks{modest_network(64, 1), modest_network(64, 2)},
                                           best_instruction_set(), bear_off_tables());
  return kEvaluator;
}

}  // namespace

TEST_CASE("The first rolls of a block are those that its trials begin with") {
  for (const bool planned : {true, false}) {
    const auto rolls = first_rolls(7, 5, planned);
    for (std::size_t i = 0; i < kBlockTrials; ++i) {
      const Roll expected =
          planned ? DicePlan(7, 5).roll(0, i) : RandomStream(7, 5 * kBlockTrials + i).roll();
      CHECK(rolls[i] == expected);
    }
  }
}

TEST_CASE("Parts by roll add up to the cost, however trials are played") {
  const std::vector<std::function<void(RolloutSettings&)>> ways{
      [](RolloutSettings&) {},
      [](RolloutSettings& settings) { settings.make_plain(); },
      [](RolloutSettings& settings) { settings.lookahead = 1; },
      [](RolloutSettings& settings) { settings.truncate = 1; },
      [](RolloutSettings& settings) { settings.stratified = false; },
      [](RolloutSettings& settings) { settings.known_ends = false; },
      [](RolloutSettings& settings) { settings.luck = LuckControl::kEstimated; }};
  const FullControl luck(network());
  for (std::size_t way = 0; way < ways.size(); ++way) {
    RolloutSettings settings = settings_of(36);
    ways[way](settings);
    for (const char* score : {"money", "gammon-go", "3-away/5-away"}) {
      INFO("way " << way << ", " << score);
      check_sums(roll_out({network(), &luck}, contact(), settings, score));
    }
  }
}

TEST_CASE("So do those with the cube, and those of a doubling decision") {
  for (const char* score : {"money", "3-away/5-away", "2-away/4-away"}) {
    const Score at = parse_score(score, own_match_equities());
    const CubeRules rules(at, Cube{}, {}, bear_off_tables().two_sided);
    for (const LuckControl luck : {LuckControl::kFull, LuckControl::kNone}) {
      RolloutSettings settings = settings_of(36);
      settings.luck = luck;
      INFO(score);
      check_sums(roll_out(network(), contact(), settings, score, rules));
      // In the table, and out of it; at 2-away a double leaves a dead cube.
      for (const char* position : {"6x3 5x2 4 / 6x3 5x2 3", "24 6x3 4x2 3 / 20x2 6x2 2"}) {
        ThreadRunner runner;
        const auto rolled =
            roll_out_double(network(), parse_position(position), rules, settings, runner);
        REQUIRE(rolled);
        REQUIRE(rolled->double_take);
        check_sum(rolled->by_roll, rolled->difference);
        CHECK(rolled->by_roll != Parts{});
      }
    }
  }
}

TEST_CASE("So do those of plays that are set aside, and of merged blocks") {
  Problem problem = six_plays();
  const SmallRace race(problem.position);
  RolloutSettings settings = settings_of(72);
  settings.make_plain();
  settings.half_width = 0.004;
  settings.most_trials = 2 * kMostGroups * kBlockTrials + 600;
  const RolloutResult result = roll_out(race, problem, settings);
  CHECK(result.plays.front().trials > kMostGroups * kBlockTrials);
  CHECK(result.plays.back().at_least);
  check_sums(result);
}

TEST_CASE("Where the luck that is taken out is exact, so are the parts") {
  const Problem problem = six_plays();
  const SmallRace race(problem.position);
  // Trials that are played out, and trials that end at once where all is known.
  for (const bool known_ends : {true, false}) {
    RolloutSettings settings = settings_of(36);
    settings.known_ends = known_ends;
    const RolloutResult result = roll_out(race, problem, settings);
    for (std::size_t i = 1; i < result.plays.size(); ++i) {
      const auto truth =
          true_parts(race, problem.position, result.plays[0].play, result.plays[i].play);
      for (std::size_t r = 0; r < kRollCount; ++r) {
        CHECK(result.plays[i].by_roll[r].mean == Approx(truth[r]).margin(1e-12));
        CHECK(result.plays[i].by_roll[r].half_width == Approx(0.0).margin(1e-12));
      }
    }
  }
}

TEST_CASE("Parts are unbiased with luck left in, and with luck that is wrong") {
  Problem problem = six_plays();
  const SmallRace race(problem.position);
  const SmallRace wrong(problem.position, 0.4);
  const FullControl wrong_luck(wrong);
  problem.plays.resize(2);
  for (const LuckControl luck : {LuckControl::kNone, LuckControl::kEstimated}) {
    RolloutSettings settings = settings_of(60'000);
    settings.luck = luck;
    const RolloutResult result = roll_out({race, &wrong_luck}, problem, settings);
    const auto truth =
        true_parts(race, problem.position, result.plays[0].play, result.plays[1].play);
    double squares = 0.0;
    for (std::size_t r = 0; r < kRollCount; ++r) {
      const Estimate& part = result.plays[1].by_roll[r];
      const double errors = (part.mean - truth[r]) / part.standard_error;
      CHECK(part.standard_error < 0.002);
      CHECK(std::abs(errors) < 4.0);
      squares += errors * errors;
    }
    // Chi square with 21 degrees of freedom exceeds 46.8 once in a thousand.
    CHECK(squares < 46.8);
  }
}

}  // namespace sixfold
