// Opening plays rolled out against two published rollouts (statistical/openings.h).
#include "statistical/openings.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "base/workers.h"
#include "evaluator/network_file.h"
#include "rollout/luck.h"
#include "rollout/rollout.h"

namespace sixfold {
namespace {

// The margins are wide of the rollouts' own errors: equities have half-widths of .01 to .02.
constexpr std::uint64_t kTrials = 1728;
constexpr double kHalfWidth = 0.012;  // of contested costs
constexpr double kCostMargin = 0.02;
constexpr double kEquityMargin = 0.03;

struct Comparison {
  double worst = 0.0;
  double squares = 0.0;
  int count = 0;
};

void compare(const Evaluator& evaluator, const LuckSource& luck, const std::string& dice,
             const std::vector<PublishedPlay>& published, Comparison& comparison) {
  const Roll roll = parse_roll(dice);
  RolloutSettings settings;
  settings.trials = kTrials;
  settings.half_width = kHalfWidth;
  settings.luck = LuckControl::kEstimated;
  ThreadRunner runner(available_threads());
  const Position start = start_position();
  const RolloutResult result =
      roll_out({evaluator, &luck}, start, candidates(evaluator, roll, published),
               money_score(), settings, runner);
  for (const PublishedPlay& listed : published) {
    const PlayKey play = parse_play(start, roll, listed.play);
    const auto rolled = std::find_if(result.plays.begin(), result.plays.end(),
                                     [&](const RolledPlay& r) { return r.play == play; });
    REQUIRE(rolled != result.plays.end());
    const double difference = rolled->equity.mean - listed.equity;
    INFO(dice << ": " << listed.play << ", " << listed.source << " " << listed.equity
              << ", rolled out " << rolled->equity.mean << " +- " << rolled->equity.half_width
              << ", cost " << rolled->cost.mean << ", best "
              << play_text(start, roll, result.plays.front().play));
    CHECK(std::abs(difference) <= kEquityMargin);
    if (listed.rank == 1) CHECK(rolled->cost.mean <= kCostMargin);
    comparison.worst = std::max(comparison.worst, std::abs(difference));
    comparison.squares += difference * difference;
    ++comparison.count;
  }
}

}  // namespace

TEST_CASE("The published opening plays have their published equities and ranks", "[slow]") {
  const NetworkFile file =
      load_network(std::filesystem::path(SIXFOLD_NETS) / "standard.safetensors");
  REQUIRE(file.luck);
  const NetworkEvaluator evaluator(file.networks);
  const NetworkLuck luck(*file.luck);
  const auto openings = published_openings(std::filesystem::path(SIXFOLD_GOLDEN) / "openings.csv");
  REQUIRE(openings.size() == 15);
  Comparison comparison;
  for (const auto& [dice, published] : openings)
    compare(evaluator, luck, dice, published, comparison);
  CHECK(comparison.count == 43);
  WARN("difference to the published equities: worst "
       << comparison.worst << ", rms " << std::sqrt(comparison.squares / comparison.count));
}

}  // namespace sixfold
