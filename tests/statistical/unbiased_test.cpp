#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <filesystem>

#include "evaluator/network_file.h"
#include "exact/workers.h"
#include "rollout/choice.h"
#include "rollout/rollout.h"
#include "rollout/small_race.h"
#include "rules/notation.h"
#include "rules/start.h"

namespace sixfold {
namespace {

/// Two-sided 99.9% of the normal distribution (from memory).
constexpr double kSure = 3.29;

NetworkEvaluator shipped_evaluator() {
  return NetworkEvaluator(
      load_network(std::filesystem::path(SIXFOLD_NETS) / "standard.safetensors").networks);
}

/// A roll with the statically best play alone.
Problem best_of(const Evaluator& evaluator, const Position& position, const char* dice) {
  ChoiceScratch scratch;
  const OutcomeWorth money = parse_score("money").worth;
  return {position, {best_play(evaluator, position, parse_roll(dice), money, scratch).play}};
}

RolledPlay rolled(const Evaluator& evaluator, const Problem& problem, std::uint64_t trials,
                  bool plain) {
  RolloutSettings settings = settings_of(trials, plain ? 2 : 1);
  if (plain) settings.make_plain();
  settings.threads = available_threads();
  return roll_out(evaluator, problem, settings).plays.at(0);
}

/// The standard error of a share of plain trials, at least that of one game in all of them.
double plain_error(const Estimate& plain, double probability, double trials) {
  const double rare = std::max(probability, 1.0 / trials);
  return std::max(plain.standard_error, std::sqrt(rare * (1.0 - std::min(rare, 0.5)) / trials));
}

void check_unbiased(const char* position, const char* dice) {
  const NetworkEvaluator evaluator = shipped_evaluator();
  const Problem problem = best_of(evaluator, parse_position(position), dice);
  const RolledPlay adjusted = rolled(evaluator, problem, 1080, false);
  const RolledPlay plain = rolled(evaluator, problem, 16200, true);
  const double trials = 16200.0;
  for (std::size_t o = 0; o < kOutcomeCount; ++o) {
    INFO(position << ", outcome " << o << ": " << adjusted.outcomes[o].mean << " adjusted, "
                  << plain.outcomes[o].mean << " plain");
    const double error =
        std::hypot(adjusted.outcomes[o].standard_error,
                   plain_error(plain.outcomes[o], adjusted.outcomes[o].mean, trials));
    CHECK(std::abs(adjusted.outcomes[o].mean - plain.outcomes[o].mean) <= kSure * error);
  }
  INFO(position << ": " << adjusted.equity.mean << " adjusted, " << plain.equity.mean << " plain");
  const double error = std::hypot(adjusted.equity.standard_error, plain.equity.standard_error);
  CHECK(std::abs(adjusted.equity.mean - plain.equity.mean) <= kSure * error);
}

}  // namespace

TEST_CASE("Luck adjustment leaves the start's means as they are", "[slow]") {
  check_unbiased("24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5", "43");
}

TEST_CASE("Luck adjustment leaves a holding game's means as they are", "[slow]") {
  check_unbiased("20x2 13x3 8x3 6x4 4x3 / 18x2 13x3 8x3 6x4 4x3", "52");
}

TEST_CASE("Luck adjustment leaves a back game's means as they are", "[slow]") {
  check_unbiased("24x2 22x3 13x2 6x4 5x4 / 16x2 10x3 8x3 6x3 5x2 4x2", "41");
}

TEST_CASE("Luck adjustment leaves prime against prime's means as they are", "[slow]") {
  check_unbiased("24x2 13x2 8x3 7x2 6x3 5x3 / 24x2 13x2 8x3 7x2 6x3 4x3", "21");
}

TEST_CASE("Luck adjustment leaves a bear-off's means as they are against contact", "[slow]") {
  check_unbiased("6x4 5x3 4x3 2x2 1x2 / 22x2 8x2 6x4 5x4 4x3", "62");
}

TEST_CASE("Luck adjustment leaves the means as they are of a race with gammon chances", "[slow]") {
  check_unbiased("4x3 3x3 2x4 1 / 13x2 10x2 8x4 7x2 6x5", "31");
}

TEST_CASE("Luck adjustment cuts the variance of an opening trial at least tenfold", "[slow]") {
  const NetworkEvaluator evaluator = shipped_evaluator();
  const Problem problem = best_of(evaluator, start_position(), "31");
  const auto variance_of_trial = [&](std::uint64_t trials, bool plain) {
    const double error = rolled(evaluator, problem, trials, plain).equity.standard_error;
    return error * error * static_cast<double>(trials);
  };
  // The ratio is known to about 8%: each variance has a relative error of sqrt(2 / blocks).
  const double plain = variance_of_trial(7776, true);
  const double adjusted = variance_of_trial(2592, false);
  WARN("a trial's standard deviation: " << std::sqrt(plain) << " plain, " << std::sqrt(adjusted)
                                        << " adjusted; variance ratio " << plain / adjusted);
  CHECK(plain / adjusted >= 10.0);
  // Published for plain trials: 1.369 points (Rice S., a distribution of 46,656 trials, 26 February
  // 2006); positions differ.
  CHECK(std::sqrt(plain) == Approx(1.369).epsilon(0.1));
}

}  // namespace sixfold
