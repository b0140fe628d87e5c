/// Positions of an evaluator's games against itself with their distributions, for others to learn
/// from.
#pragma once

#include <atomic>
#include <cstdint>
#include <functional>
#include <vector>

#include "equity/score.h"
#include "rollout/player.h"
#include "rollout/sampled_position.h"
#include "train/self_play.h"

namespace sixfold {

struct SampleSettings {
  std::uint64_t positions = 20000;
  std::uint64_t seed = 1;
  int checkers = kMaxCheckers;
  std::vector<Position> starts{};  ///< Games begin here in turn; empty: at the usual start.
  /// What players choose by. Where it differs for the sides they take turns at beginning.
  Score score = money_score();
  Exploration exploration{};
  /// For every position, rounded up as those of rollouts; 0: the evaluator's own values.
  std::uint64_t trials = 0;
  int threads = 1;
  const std::atomic<bool>* stop = nullptr;
  /// Gets how many positions are finished. Called from any thread.
  std::function<void(std::uint64_t)> progress{};
};

/// Every position of game after game, but the finished ones, until there are enough; those of one
/// game are in order. Rolled-out positions have dice of their own each, and luck taken out by the
/// players' luck networks, where there are any, or else by full control. A pure function of players
/// and settings: the same for any thread count. Nothing when it was stopped.
/// REQUIRES: starts are unfinished positions of games of `checkers`.
[[nodiscard]] std::vector<SampledPosition> sample(const TrialPlayers& players,
                                                  const SampleSettings& settings);

}  // namespace sixfold
