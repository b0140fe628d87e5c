/// Threads of this process that stop for a moment several times a second, so that others can look.
#pragma once

#include <cstddef>
#include <span>

#include "base/workers.h"
#include "rollout/runner.h"

namespace sixfold::tools {

/// What comes out depends on nothing but the plan, however it is sliced.
class SlicedRunner final : public TrialRunner {
 public:
  /// REQUIRES: threads >= 1; the keeper, which looks between slices, outlives it.
  SlicedRunner(int threads, RunControl control, StateKeeper& keeper)
      : TrialRunner(&keeper, std::move(control)),
        workers_(threads),
        slice_(static_cast<std::size_t>(threads)) {}

 private:
  /// The first of the blocks, as many as take about a slice's time.
  void play(const PlannedTrials& trials, std::span<const BlockRange> ranges,
            RolloutState& state) override;

  Workers workers_;
  std::size_t slice_;  ///< Blocks.
};

}  // namespace sixfold::tools
