// How often intervals cover the truth in games that are solved exactly, over fresh seeds.
// Run as: sixfold_coverage contact|bear-off|race|cube TRIALS [ROLLOUTS [FIRST_SEED]]
#include "statistical/coverage.h"

#include <cstdio>
#include <cstdlib>

namespace {

using namespace sixfold;

void print_row(const CoverageMethod& method, double level, const CoverageResult& result) {
  std::printf("%-18s %2.0f%%", method.name.c_str(), 100.0 * level);
  for (const Coverage& coverage : result.intervals) {
    std::printf("  %5.2f%%", 100.0 * coverage.covering / coverage.rollouts);
  }
  std::printf("  %6.0f\n", result.mean_trials);
  std::fflush(stdout);
}

void print_heading(const CoverageResult& result) {
  std::printf("%-22s", "method, level");
  for (const Coverage& coverage : result.intervals) std::printf(" %7s", coverage.what.c_str());
  std::printf("  trials\n%-22s", "true probability");
  for (const Coverage& coverage : result.intervals) {
    coverage.probability > 0.0 ? std::printf("    %.3f", coverage.probability)
                               : std::printf("%8s", "");
  }
  std::printf("\n");
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 3) {
    std::fputs(
        "usage: sixfold_coverage contact|bear-off|race|cube TRIALS [ROLLOUTS [FIRST_SEED]]\n",
        stderr);
    return 2;
  }
  const std::uint64_t trials = std::strtoull(argv[2], nullptr, 10);
  const int rollouts = argc > 3 ? std::atoi(argv[3]) : 4000;
  const std::uint64_t first_seed = argc > 4 ? std::strtoull(argv[4], nullptr, 10) : 1'000'000;
  Workers workers(available_threads());
  const ExactPlayer truth = coverage_player(workers);
  const CoveragePlayers players(truth);
  for (const CoverageProblem& problem : coverage_problems(truth)) {
    if (problem.name != argv[1]) continue;
    std::printf("%s, %s, %d trials, %d rollouts from seed %d\n", problem.name.c_str(),
                position_text(problem.position).c_str(), static_cast<int>(trials), rollouts,
                static_cast<int>(first_seed));
    bool first = true;
    for (const CoverageMethod& method : kCoverageMethods) {
      const std::array levels{0.95, 0.99};
      std::array<CoverageResult, 2> results;
      workers.for_each(levels.size(), [&](std::size_t i) {
        results[i] =
            measure_coverage(problem, players, method, {trials, levels[i], rollouts, first_seed});
      });
      if (first) print_heading(results[0]);
      first = false;
      for (std::size_t i = 0; i < levels.size(); ++i) print_row(method, levels[i], results[i]);
    }
  }
}
