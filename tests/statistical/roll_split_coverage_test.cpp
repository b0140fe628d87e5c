// Intervals of the parts that rolls have in a cost cover exactly known values as often as they say.
#include <catch2/catch.hpp>

#include "rollout/roll_split.h"
#include "statistical/coverage.h"

namespace sixfold {
namespace {

constexpr int kRollouts = 400;

using Values = std::array<double, kRollCount>;

/// What the first play gains on the second by each of the opponent's rolls, when both sides play
/// the exact game: the mean over these rolls is what their tables say.
Values true_parts(const CoverageProblem& problem) {
  ChoiceScratch scratch;
  Values parts{};
  for (const std::size_t i : {0u, 1u}) {
    const Position his = position_after(problem.position, problem.plays[i]);
    const BestPlays replies = best_plays(exact_player(), his, choosing_worth(kMoneyWorth), scratch);
    for (std::size_t r = 0; r < kRollCount; ++r) {
      const double equity = worth_of(reversed(replies.of_roll[r].outcomes), kMoneyWorth);
      parts[r] += (i == 0 ? 1.0 : -1.0) * roll_probability(r) * equity;
    }
  }
  return parts;
}

/// The same in a bear-off of the two-sided table with the cube.
Values true_parts_with_cube(const CoverageProblem& problem) {
  CubeTruth truth(*exact_player().tables().two_sided);
  Values parts{};
  for (const std::size_t i : {0u, 1u}) {
    const Position his = position_after(problem.position, problem.plays[i]);
    for (std::size_t r = 0; r < kRollCount; ++r) {
      const double equity =
          worth_of(reversed(truth.after_roll(his, CubeTruth::Owner::kCentred, 0, kRolls[r])),
                   problem.cube->worth());
      parts[r] += (i == 0 ? 1.0 : -1.0) * roll_probability(r) * equity;
    }
  }
  return parts;
}

struct RollCoverage {
  std::array<int, kRollCount> covering{};
};

RollCoverage measure(const CoverageProblem& problem, const CoveragePlayers& players,
                     const CoverageMethod& method, const CoverageSettings& settings,
                     const Values& truth) {
  RolloutSettings rollout = coverage_rollout(problem, method, settings);
  const TrialPlayers those{players.wrong, players.luck(method.luck), &players.exact};
  const auto cube = problem.cube ? std::optional(*problem.cube) : std::nullopt;
  RollCoverage coverage;
  ThreadRunner runner;
  for (int i = 0; i < settings.rollouts; ++i) {
    rollout.seed = settings.first_seed + static_cast<std::uint64_t>(i);
    const RolloutResult rolled =
        roll_out(those, problem.position, problem.plays, money_score(), rollout, runner, cube);
    const double sign = rolled.plays[0].play == problem.plays[0] ? 1.0 : -1.0;
    for (std::size_t r = 0; r < kRollCount; ++r) {
      const Estimate& part = rolled.plays[1].by_roll[r];
      const double error = sign * part.mean - truth[r];
      if (std::abs(error) <= part.half_width + 1e-9) ++coverage.covering[r];
    }
  }
  return coverage;
}

void check_coverage(std::size_t number, std::uint64_t trials) {
  const CoverageProblem problem = coverage_problems(exact_player())[number];
  const CoveragePlayers players(exact_player());
  const Values truth = problem.cube ? true_parts_with_cube(problem) : true_parts(problem);
  double sum = 0.0;
  for (const double part : truth) sum += part;
  // What the parts add up to is known in another way.
  REQUIRE(sum == Approx(problem.equities[0] - problem.equities[1]).margin(1e-9));
  std::vector<RollCoverage> found(kCoverageMethods.size());
  Workers workers(available_threads());
  workers.for_each(kCoverageMethods.size(), [&](std::size_t m) {
    found[m] = measure(problem, players, kCoverageMethods[m], {trials, 0.95, kRollouts, 1}, truth);
  });
  for (std::size_t m = 0; m < found.size(); ++m) {
    int all = 0;
    for (std::size_t r = 0; r < kRollCount; ++r) {
      INFO(problem.name << ", " << trials << " trials, " << kCoverageMethods[m].name << ", roll "
                        << r << " covered in " << found[m].covering[r]);
      // 95% of 400, less than which comes with a probability of .0005.
      CHECK(found[m].covering[r] >= 364);
      all += found[m].covering[r];
    }
    INFO(problem.name << ", " << trials << " trials, " << kCoverageMethods[m].name << ": "
                      << 100.0 * all / (kRollouts * kRollCount) << "%");
    CHECK(all >= kRollouts * kRollCount * 94 / 100);
  }
}

}  // namespace

TEST_CASE("Intervals of parts by roll cover the truth in full contact", "[slow]") {
  check_coverage(0, GENERATE(36u, 144u));
}

TEST_CASE("Intervals of parts by roll cover the truth in a bear-off", "[long]") {
  check_coverage(1, GENERATE(36u, 144u, 600u));
}

TEST_CASE("Intervals of parts by roll cover the truth in a race with rare gammons", "[slow]") {
  check_coverage(2, GENERATE(36u, 144u));
}

TEST_CASE("Intervals of parts by roll cover the truth in a bear-off with the cube", "[slow]") {
  check_coverage(3, 36);
}

}  // namespace sixfold
