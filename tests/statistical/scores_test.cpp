// What the score does to a decision: facts of the trade, marked common practice.
#include <catch2/catch.hpp>
#include <cmath>
#include <filesystem>

#include "base/workers.h"
#include "evaluator/network_file.h"
#include "rollout/luck.h"
#include "rollout/rollout.h"
#include "rollout/small_race.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

/// By how much the play that makes an advanced anchor is better than one that hits loose at home.
Estimate lead_of_anchor(const char* position, const char* dice, const char* anchor, const char* hit,
                        const char* score) {
  static const NetworkFile kFile =
      load_network(std::filesystem::path(SIXFOLD_NETS) / "standard.safetensors");
  static const NetworkEvaluator kEvaluator(kFile.networks);
  static const NetworkLuck kLuck(*kFile.luck);
  const Position from = parse_position(position);
  const Roll roll = parse_roll(dice);
  const Problem problem{from, {parse_play(from, roll, anchor), parse_play(from, roll, hit)}};
  // With half as many the difference between two scores is about as large as its interval.
  RolloutSettings settings = settings_of(10'368);
  settings.luck = LuckControl::kEstimated;
  ThreadRunner runner(available_threads());
  const RolloutResult result = roll_out({kEvaluator, &kLuck}, problem, settings, runner, score);
  Estimate lead = result.plays[1].cost;
  if (result.plays[0].play != problem.plays[0]) lead.mean = -lead.mean;
  return lead;
}

void check_anchor(const char* position, const char* dice, const char* anchor, const char* hit) {
  const Estimate money = lead_of_anchor(position, dice, anchor, hit, "money");
  const Estimate go = lead_of_anchor(position, dice, anchor, hit, "gammon-go");
  const Estimate save = lead_of_anchor(position, dice, anchor, hit, "gammon-save");
  INFO(anchor << " against " << hit << ": money " << money.mean << " ± " << money.half_width
              << ", gammon-go " << go.mean << " ± " << go.half_width << ", gammon-save "
              << save.mean << " ± " << save.half_width);
  CHECK(go.mean < money.mean - std::hypot(go.half_width, money.half_width));
  CHECK(save.mean > money.mean + std::hypot(save.half_width, money.half_width));
}

}  // namespace

// Common practice.
TEST_CASE("An anchor on the 20 point is worth less at gammon-go and more at gammon-save",
          "[slow]") {
  check_anchor("24 20 13x5 8x3 6x5 / 24 21 13x5 8x3 6x5", "41", "24/20 6/5", "8/4*/3");
}

// Common practice.
TEST_CASE("An anchor on the 18 point is worth less at gammon-go and more at gammon-save",
          "[slow]") {
  check_anchor("24 21 13x4 8x4 6x5 / 24 22 13x5 8x3 6x5", "63", "24/18 21/18", "21/15 6/3*");
}

}  // namespace sixfold
