/// Two evaluators against one another.
#pragma once

#include <atomic>
#include <cstdint>
#include <functional>
#include <vector>

#include "equity/score.h"
#include "evaluator/evaluator.h"

namespace sixfold {

/// Points a game (equity at the score, the cube dead) from the first evaluator's viewpoint; errors
/// from the spread of pairs.
struct DuelResult {
  std::uint64_t pairs = 0;
  double points_per_game = 0.0;
  double standard_error = 0.0;
  double win_fraction = 0.0;  ///< Games that the first evaluator won.
};

struct DuelSettings {
  std::uint64_t pairs = 10000;  ///< Each pair is two games on the same dice with the seats swapped.
  std::uint64_t seed = 1;
  int checkers = kMaxCheckers;
  std::vector<Position> starts;  ///< The pairs begin at these in turn; empty: at the usual start.
  /// What players choose by and results are worth. At scores that differ for the sides, the starter
  /// of pairs with even numbers has this one.
  Score score = money_score();
  int threads = 1;
  const std::atomic<bool>* stop = nullptr;  ///< When set, ends after the open blocks of 16 pairs.
  /// Gets what is known so far. Called from any thread, by one at a time.
  std::function<void(const DuelResult&)> progress;
};

/// A pure function of the evaluators and settings unless stopped; the same for any thread count.
[[nodiscard]] DuelResult duel(const Evaluator& first, const Evaluator& second,
                              const DuelSettings& settings);

}  // namespace sixfold
