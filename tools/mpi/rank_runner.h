/// Trials of one rollout, played by a whole crew.
#pragma once

#include <span>
#include <utility>

#include "rollout/runner.h"
#include "tools/mpi/crew.h"

namespace sixfold::tools {

/// Blocks are handed out a few at a time to whoever is free, more at first, one in the end. What
/// comes back is absorbed in the order of the blocks, whatever the order in which it came. Games of
/// few checkers, which may be solved here and not elsewhere, are played by threads of this process:
/// it takes no time.
class RankRunner final : public TrialRunner {
 public:
  /// The crew must outlive it, and nothing may be in its hands. REQUIRES: threads >= 1.
  RankRunner(Crew& crew, int threads, RunControl control, StateKeeper* keeper = nullptr)
      : TrialRunner(keeper, std::move(control)), crew_(crew), threads_(threads) {}

 private:
  void play(const PlannedTrials& trials, std::span<const BlockRange> ranges,
            RolloutState& state) override;
  [[nodiscard]] std::vector<PlayedBlock> played_by_crew(const RolloutState& state,
                                                        std::span<const BlockPlace> places);
  /// How many blocks a member gets while so many are left.
  [[nodiscard]] std::size_t share_of(std::size_t left) const;

  Crew& crew_;
  int threads_;
};

}  // namespace sixfold::tools
