// Intervals cover exactly known values as often as they say: 400 fixed seeds each. bench/coverage
// does the same with more seeds.
#include "statistical/coverage.h"

#include <catch2/catch.hpp>

namespace sixfold {
namespace {

constexpr int kRollouts = 400;

const CoveragePlayers& players() {
  static const CoveragePlayers players(exact_player());
  return players;
}

/// The fewest and the most of 400 that the binomial distribution gives with 99.9% probability.
struct Band {
  int fewest;
  int most;
};
Band band(double level) {
  // The tails below and above hold at most .0005 each.
  const auto tail = [&](bool lower) {
    double sum = 0.0;
    for (int k = lower ? 0 : kRollouts; lower ? k <= kRollouts : k >= 0; k += lower ? 1 : -1) {
      sum += std::exp(std::lgamma(kRollouts + 1.0) - std::lgamma(k + 1.0) -
                      std::lgamma(kRollouts - k + 1.0) + k * std::log(level) +
                      (kRollouts - k) * std::log1p(-level));
      if (sum > 0.0005) return k;
    }
    return -1;
  };
  return {tail(true), tail(false)};
}

/// Whether few trials can have shown what an interval is about. Such intervals are wider than they
/// would have to be, on purpose: see rollout/statistics.h.
bool is_rare(const CoverageProblem& problem, std::uint64_t trials, const Coverage& coverage) {
  constexpr double kFrequent = 24.0;
  if (coverage.what == "cost") return problem.rarely_differ;
  double probability = coverage.probability;
  if (coverage.what == "equity") {
    if (problem.cube) return false;
    // Where games can only be won or lost, equity is known as well as the chance to win.
    const OutcomeDistribution& truth = problem.truths[0];
    const bool single_games = truth[Outcome::kLoseSingle] + truth[Outcome::kWinSingle] > 1.0 - 1e-9;
    if (!single_games) return false;
    probability = truth.win_probability();
  }
  return std::min(probability, 1.0 - probability) * static_cast<double>(trials) < kFrequent;
}

void check_coverage(const CoverageProblem& problem, std::uint64_t trials) {
  struct Job {
    const CoverageMethod* method;
    double level;
    CoverageResult result;
  };
  std::vector<Job> jobs;
  for (const CoverageMethod& method : kCoverageMethods) {
    // Random luck networks add variance, so that their half-width asks for eight times the trials:
    // the shorter tests show what they have to show.
    if (method.luck == CoverageLuck::kNetwork && trials > 144) continue;
    jobs.push_back({&method, 0.95, {}});
    // Every level is rolled out anew: one is enough where that takes long (bench/coverage has
    // both).
    if (trials <= 36) jobs.push_back({&method, 0.99, {}});
  }
  Workers workers(available_threads());
  workers.for_each(jobs.size(), [&](std::size_t i) {
    const CoverageSettings settings{trials, jobs[i].level, kRollouts, 1};
    jobs[i].result = measure_coverage(problem, players(), *jobs[i].method, settings);
  });
  for (const Job& job : jobs) {
    const Band expected = band(job.level);
    for (const Coverage& coverage : job.result.intervals) {
      INFO(problem.name << ", " << trials << " trials, " << job.method->name << ", level "
                        << job.level << ": " << coverage.what << " " << coverage.probability
                        << " covered in " << coverage.covering << " of " << coverage.rollouts
                        << ", expected " << expected.fewest << " to " << expected.most);
      REQUIRE(coverage.rollouts == kRollouts);
      CHECK(coverage.covering >= expected.fewest);
      if (!is_rare(problem, trials, coverage)) {
        CHECK(coverage.covering <= expected.most);
      }
    }
  }
}

}  // namespace

TEST_CASE("The band of 400 intervals at 95% is the published one") {
  // 364 to 393 of 400: a normal approximation gives 365.7 to 394.3.
  CHECK(band(0.95).fewest == 364);
  CHECK(band(0.95).most == 393);
}

TEST_CASE("Intervals of 36 trials cover the truth in full contact", "[slow]") {
  check_coverage(coverage_problems(exact_player())[0], 36);
}

TEST_CASE("Intervals of 144 trials cover the truth in full contact", "[slow]") {
  check_coverage(coverage_problems(exact_player())[0], 144);
}

TEST_CASE("Intervals of 36 trials cover the truth in a bear-off", "[slow]") {
  check_coverage(coverage_problems(exact_player())[1], 36);
}

TEST_CASE("Intervals of 144 trials cover the truth in a bear-off", "[slow]") {
  check_coverage(coverage_problems(exact_player())[1], 144);
}

TEST_CASE("Intervals of 36 trials cover the truth in a race with rare gammons", "[slow]") {
  check_coverage(coverage_problems(exact_player())[2], 36);
}

TEST_CASE("Intervals of 144 trials cover the truth in a race with rare gammons", "[slow]") {
  check_coverage(coverage_problems(exact_player())[2], 144);
}

TEST_CASE("Intervals of 36 trials cover the truth in a bear-off with the cube", "[slow]") {
  check_coverage(coverage_problems(exact_player())[3], 36);
}

TEST_CASE("Intervals of 1296 trials cover the truth in a bear-off", "[long]") {
  check_coverage(coverage_problems(exact_player())[1], 1296);
}

TEST_CASE("Intervals of 1296 trials cover the truth in a race with rare gammons", "[slow]") {
  check_coverage(coverage_problems(exact_player())[2], 1296);
}

// Two minutes on two cores: by hand, as bench/coverage is, which asks with ten times the seeds.
TEST_CASE("Intervals of 1296 trials cover the truth in full contact", "[long]") {
  check_coverage(coverage_problems(exact_player())[0], 1296);
}

TEST_CASE("Remembered plays and luck are those that are found anew", "[slow]") {
  const Position position = coverage_problems(exact_player())[0].position;
  const EvaluatorPlayer player(exact_player());
  const FullControl control(players().wrong);
  ChoiceScratch scratch;
  for (int time = 0; time < 2; ++time) {
    for (const Roll roll : kRolls) {
      CHECK(players().exact.decide(position, roll, kMoneyWorth, scratch).play ==
            player.decide(position, roll, kMoneyWorth, scratch).play);
      const Luck anew = control.luck(position, roll, kMoneyWorth, scratch);
      const Luck remembered = players().wrong_luck.luck(position, roll, kMoneyWorth, scratch);
      CHECK(remembered.outcomes == anew.outcomes);
      CHECK(remembered.play == anew.play);
    }
  }
}

}  // namespace sixfold
