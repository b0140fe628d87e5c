/// Who plays the trials of a rollout: threads of this process, or whatever else plays ranges of
/// blocks and hands their means over.
#pragma once

#include <atomic>
#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <vector>

#include "base/workers.h"
#include "rollout/choice.h"
#include "rollout/luck.h"
#include "rollout/player.h"
#include "rollout/state.h"
#include "rollout/trial.h"

namespace sixfold {

/// The trials of a plan, ready to be played. Immutable; safe to use from any thread.
class PlannedTrials {
 public:
  /// Plan and players must outlive it. REQUIRES: players.luck where the plan's luck is read from
  /// networks.
  PlannedTrials(const RolloutPlan& plan, const TrialPlayers& players);
  PlannedTrials(const PlannedTrials&) = delete;
  PlannedTrials& operator=(const PlannedTrials&) = delete;

  [[nodiscard]] bool has_cube() const noexcept { return rules_.cube != nullptr; }
  /// Trial number `trial` of one of the plan's starts. REQUIRES: `cube` is there where has_cube().
  [[nodiscard]] BlockMeans play(std::size_t start, std::uint64_t trial, ChoiceScratch& scratch,
                                CubeMeans* cube) const noexcept;

  /// Six trials of one of the plan's starts as a block. REQUIRES: `with_cube` is there where
  /// has_cube().
  [[nodiscard]] PlayedBlock block_of(std::size_t start, std::uint64_t block,
                                     std::span<const BlockMeans> trials,
                                     std::span<const CubeMeans> with_cube) const noexcept;
  /// What the players take a start and its first rolls to be worth.
  [[nodiscard]] FirstRolls first_rolls(std::size_t start, ChoiceScratch& scratch) const noexcept {
    return first_rolls_of(rules_, plan_.starts[start].trials, plan_.worth, scratch);
  }

 private:
  const RolloutPlan& plan_;
  EvaluatorPlayer own_player_;
  std::optional<EvaluatorPlayer> opponent_;
  FullControl own_control_;
  TrialRules rules_;
};

/// A block that is to be played: its number, and one of the plan's starts.
struct BlockPlace {
  std::uint64_t block;
  std::size_t start;
};

/// The blocks of ranges one by one: by number, so that whoever stops early has whole blocks of
/// everything.
[[nodiscard]] std::vector<BlockPlace> in_block_order(std::span<const BlockRange> ranges);

/// Plays blocks, in the same order, but for those that are not whole when `is_to_stop` says so.
/// `trial_ended` may be empty. REQUIRES: both may be called from any thread.
[[nodiscard]] std::vector<PlayedBlock> play_blocks(const PlannedTrials& trials,
                                                   std::span<const BlockPlace> places,
                                                   Workers& workers,
                                                   const std::function<bool()>& is_to_stop,
                                                   const std::function<void()>& trial_ended = {});

struct RolloutProgress {
  std::uint64_t trials_done = 0;
  std::uint64_t trials_planned = 0;   ///< Grows when a wanted half-width is not reached yet.
  std::uint64_t trials_expected = 0;  ///< In all, as far as can be foreseen.
  /// The widest of the contested costs; nothing before they are looked at.
  std::optional<double> half_width{};
  std::size_t rollout = 0;  ///< Which one of its runner's it is, from 0.
};

/// Where rollouts on their way are kept, so that others can go on with them.
class StateKeeper {
 public:
  StateKeeper() = default;
  StateKeeper(const StateKeeper&) = delete;
  StateKeeper& operator=(const StateKeeper&) = delete;
  virtual ~StateKeeper() = default;

  /// Before a rollout begins: brings its state to where it was kept, if it was. Throws InputError
  /// for what was kept and is damaged.
  virtual void take_up(RolloutState& state) = 0;
  /// After some of its trials. Returns whether it is to go on now.
  [[nodiscard]] virtual bool keep(const RolloutState& state) = 0;
};

/// What a run listens to and tells.
struct RunControl {
  const std::atomic<bool>* stop = nullptr;  ///< When set, trials that are open are finished.
  std::function<void(const RolloutProgress&)> progress{};  ///< Called from any thread.
};

/// One object belongs to one rollout at a time.
class TrialRunner {
 public:
  /// The keeper must outlive it; null: nothing is kept.
  explicit TrialRunner(StateKeeper* keeper = nullptr, RunControl control = {})
      : control_(std::move(control)), keeper_(keeper) {}
  TrialRunner(const TrialRunner&) = delete;
  TrialRunner& operator=(const TrialRunner&) = delete;
  virtual ~TrialRunner() = default;

  /// Plays what the state asks for until it is finished, this is to stop, or the keeper says so.
  /// REQUIRES: `trials` are those of the state's plan.
  void run(const PlannedTrials& trials, RolloutState& state);

  [[nodiscard]] virtual bool stopped() const noexcept {
    return control_.stop != nullptr && *control_.stop;
  }

 protected:
  /// Plays blocks and adds them to the state as they become whole, one after the other; all of
  /// them unless it is to stop.
  virtual void play(const PlannedTrials& trials, std::span<const BlockRange> ranges,
                    RolloutState& state) = 0;
  /// How far the rollout that is being played has come.
  [[nodiscard]] RolloutProgress progress_of(const RolloutState& state) const;

  const RunControl control_;

 private:
  StateKeeper* keeper_;
  std::size_t begun_ = 0;
};

/// Threads of this process. Trials are handed out in order, block by block over all plays, so that
/// one that is stopped has whole blocks of everything.
class ThreadRunner final : public TrialRunner {
 public:
  /// REQUIRES: threads >= 1.
  explicit ThreadRunner(int threads = 1, RunControl control = {}, StateKeeper* keeper = nullptr)
      : TrialRunner(keeper, std::move(control)), workers_(threads) {}

 private:
  void play(const PlannedTrials& trials, std::span<const BlockRange> ranges,
            RolloutState& state) override;

  Workers workers_;
};

}  // namespace sixfold
