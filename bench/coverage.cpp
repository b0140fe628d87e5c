// How often intervals cover the truth, in games that are solved exactly: rollouts of many seeds,
// by problem, trials, method and level. Run as: sixfold_coverage [ROLLOUTS [FIRST_SEED]]
#include "statistical/coverage.h"

#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstdlib>

#include "rules/start.h"

namespace {

using namespace sixfold;

struct MethodOfTrials {
  const char* name;
  bool stratified;
  bool luck_control;
  double half_width;
};

}  // namespace

int main(int argc, char** argv) {
  const int rollouts = argc > 1 ? std::atoi(argv[1]) : 400;
  const std::uint64_t first_seed = argc > 2 ? std::strtoull(argv[2], nullptr, 10) : 1'000'000;
  Workers workers(available_threads());
  TableCache cache;
  ExactTables tables = ExactTables::bear_offs(kHomePoints, workers, cache);
  SolvedGame::Settings two;
  two.checkers = 2;
  tables.game = std::make_shared<SolvedGame>(*SolvedGame::solve(two, workers));
  const ExactPlayer player(tables);
  const WrongEvaluator wrong(player);
  const std::vector<CoverageProblem> problems{
      coverage_problem("contact", player, start_position(2), "41", {"24/20 23/22", "24/23 23/19"}),
      coverage_problem("bear-off", player, parse_position("6 5 3x2 / 6x2 4 2"), "21",
                       {"3/off", "6/4 3/2"}),
  };
  const MethodOfTrials methods[] = {{"plain", false, false, 0.0},
                                    {"stratified", true, false, 0.0},
                                    {"luck", false, true, 0.0},
                                    {"both", true, true, 0.0},
                                    {"half-width", true, true, 0.02}};
  for (const CoverageProblem& problem : problems) {
    std::printf("\n%s: %s\n", problem.name.c_str(), position_text(problem.position).c_str());
    for (const std::uint64_t trials : {36u, 144u, 1296u}) {
      for (const MethodOfTrials& method : methods) {
        for (const double level : {0.95, 0.99}) {
          CoverageSettings settings;
          settings.rollouts = rollouts;
          settings.first_seed = first_seed;
          settings.rollout.trials = trials;
          settings.rollout.confidence = level;
          settings.rollout.stratified = method.stratified;
          settings.rollout.luck_control = method.luck_control;
          settings.rollout.half_width = method.half_width;
          settings.rollout.most_trials = 8 * trials;
          settings.rollout.threads = available_threads();
          const auto start = std::chrono::steady_clock::now();
          const auto found = measure_coverage(problem, player, wrong, settings);
          std::printf("%5d %-10s %.2f ", static_cast<int>(trials), method.name, level);
          for (const Coverage& coverage : found) {
            std::printf(" %s", coverage.what.c_str());
            if (coverage.probability > 0.0) std::printf("(%.3f)", coverage.probability);
            std::printf(" %.4f", static_cast<double>(coverage.covering) / coverage.rollouts);
          }
          std::printf(
              "  %.1fs\n",
              std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count());
          std::fflush(stdout);
        }
      }
    }
  }
}
