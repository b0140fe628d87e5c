// How often intervals cover the truth in games that are solved exactly, over fresh seeds.
// Run as: sixfold_coverage contact|bear-off|race|cube TRIALS [ROLLOUTS [FIRST_SEED]]
//     or: sixfold_coverage set-aside FLOOR [ROLLOUTS [FIRST_SEED]] [--half-width E]
#include "statistical/coverage.h"

#include <cstdio>
#include <cstdlib>
#include <string_view>

#include "statistical/set_aside.h"

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

void print_told(const char* what, const ToldCosts& told) {
  if (told.holding.count() == 0.0) return;
  std::printf("  %-9s %7.0f   %6.2f%% +- %4.2f   %+.4f +- %.4f   %+.4f +- %.4f\n", what,
              told.holding.count(), 100.0 * told.holding.mean(),
              100.0 * told.holding.standard_error(), told.own_error.mean(),
              told.own_error.standard_error(), told.error.mean(), told.error.standard_error());
}

/// Each problem by so many rollouts, by luck of two kinds; seeds of a problem are split over jobs.
void print_set_aside(const ExactPlayer& truth, AsideSettings settings, Workers& workers) {
  const CoveragePlayers players(truth);
  const std::vector<CoverageProblem> problems = set_aside_problems(truth);
  std::printf(
      "set aside, %d positions, floor %d, half-width %g, %d rollouts of each from seed %d\n",
      static_cast<int>(problems.size()), static_cast<int>(settings.trials), settings.half_width,
      settings.rollouts, static_cast<int>(settings.first_seed));
  std::printf("  %-9s %7s   %-15s   %-17s   %s\n", "", "told", "hold", "own error",
              "error of cost");
  for (const CoverageLuck luck : {CoverageLuck::kWrong, CoverageLuck::kNetwork}) {
    settings.luck = luck;
    std::vector<AsideResult> results(problems.size());
    workers.for_each(problems.size(), [&](std::size_t i) {
      results[i] = measure_set_aside(problems[i], players, settings);
    });
    AsideResult all;
    for (const AsideResult& result : results) all += result;
    std::printf("%s: %.0f trials a rollout\n",
                luck == CoverageLuck::kWrong ? "wrong luck" : "luck networks",
                all.trials / all.rollouts);
    print_told("bounds", all.aside);
    print_told("intervals", all.others);
    std::fflush(stdout);
  }
}

/// Takes `--half-width E` out of the arguments.
double take_half_width(std::vector<const char*>& arguments, double otherwise) {
  for (std::size_t i = 0; i + 1 < arguments.size(); ++i) {
    if (std::string_view(arguments[i]) != "--half-width") continue;
    const double half_width = std::atof(arguments[i + 1]);
    const auto first = arguments.begin() + static_cast<std::ptrdiff_t>(i);
    arguments.erase(first, first + 2);
    return half_width;
  }
  return otherwise;
}

}  // namespace

int main(int argc, char** argv) {
  std::vector<const char*> arguments(argv + 1, argv + argc);
  const double half_width = take_half_width(arguments, 0.05);
  if (arguments.size() < 2) {
    std::fputs(
        "usage: sixfold_coverage contact|bear-off|race|cube TRIALS [ROLLOUTS [FIRST_SEED]]\n"
        "       sixfold_coverage set-aside FLOOR [ROLLOUTS [FIRST_SEED]] [--half-width E]\n",
        stderr);
    return 2;
  }
  const bool is_set_aside = std::string_view(arguments[0]) == "set-aside";
  const std::uint64_t trials = std::strtoull(arguments[1], nullptr, 10);
  const int rollouts = arguments.size() > 2 ? std::atoi(arguments[2]) : is_set_aside ? 400 : 4000;
  const std::uint64_t first_seed =
      arguments.size() > 3 ? std::strtoull(arguments[3], nullptr, 10) : 1'000'000;
  Workers workers(available_threads());
  const ExactPlayer truth = coverage_player(workers);
  if (is_set_aside) {
    print_set_aside(truth, {trials, half_width, {}, rollouts, first_seed}, workers);
    return 0;
  }
  const CoveragePlayers players(truth);
  for (const CoverageProblem& problem : coverage_problems(truth)) {
    if (problem.name != arguments[0]) continue;
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
