// Trials that end at exact knowledge: the same means, with less spread.
#include <catch2/catch.hpp>
#include <cmath>
#include <filesystem>

#include "evaluator/network_file.h"
#include "rollout/rollout.h"
#include "rollout/small_race.h"

namespace sixfold {
namespace {

NetworkEvaluator evaluator_with_tables() {
  Workers workers(2);
  TableCache cache;
  return NetworkEvaluator(
      load_network(std::filesystem::path(SIXFOLD_NETS) / "standard.safetensors").networks,
      best_instruction_set(), ExactTables::bear_offs(kHomePoints, workers, cache));
}

}  // namespace

TEST_CASE("Ending trials at exact knowledge leaves the means as they are and lowers the spread") {
  const NetworkEvaluator evaluator = evaluator_with_tables();
  const Problem problem = problem_of("6x3 5x2 4x3 2x2 / 7x2 6x2 5x3 3x2", "61");
  RolloutSettings settings = settings_of(20000);
  settings.make_plain();
  ThreadRunner runner(available_threads());
  const Problem first{problem.position, {problem.plays.front()}};
  const RolledPlay ended = roll_out(evaluator, first, settings, runner).plays.at(0);
  settings.known_ends = false;
  const RolledPlay played_on = roll_out(evaluator, first, settings, runner).plays.at(0);
  INFO(ended.equity.mean << " +- " << ended.equity.standard_error << " ended, "
                         << played_on.equity.mean << " +- " << played_on.equity.standard_error);
  CHECK(ended.equity.standard_error < played_on.equity.standard_error);
  // The two share their dice; apart, the difference would have this error. 99.9% (from memory).
  const double error = std::hypot(ended.equity.standard_error, played_on.equity.standard_error);
  CHECK(std::abs(ended.equity.mean - played_on.equity.mean) < 3.29 * error);
}

TEST_CASE("A rollout of positions that are all known is exact") {
  const NetworkEvaluator evaluator = evaluator_with_tables();
  const Problem problem = problem_of("6 5 3x2 / 6x2 4 2", "21");
  for (const bool plain : {false, true}) {
    RolloutSettings settings = settings_of(36);
    if (plain) settings.make_plain();
    const RolloutResult result = roll_out(evaluator, problem, settings);
    for (const RolledPlay& play : result.plays) {
      const OutcomeDistribution truth =
          reversed(*evaluator.known(position_after(problem.position, play.play)));
      for (std::size_t o = 0; o < kOutcomeCount; ++o) {
        CHECK(play.outcomes[o].mean == Approx(truth[o]).margin(1e-12));
        CHECK(play.outcomes[o].half_width < 1e-12);
      }
      CHECK(play.cost.half_width < 1e-12);
    }
  }
}

}  // namespace sixfold
