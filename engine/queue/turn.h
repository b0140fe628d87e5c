/// One turn at a part of an entry: its rollout is taken up where it was left, and put down after
/// some of its trials.
///
/// A turn needs no database: states come from, and go to, wherever they are kept.
#pragma once

#include <atomic>
#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "queue/queue_file.h"
#include "session/core.h"

namespace sixfold {

/// What an entry asks for. `questions` are its parts but for planes, which only lessons have.
struct Job {
  std::vector<RolloutQuestion> questions;
  std::optional<LessonPlan> lesson{};
  [[nodiscard]] bool has_planes() const { return lesson && !lesson->flips.empty(); }
};
/// The parts of a job, for a queue.
[[nodiscard]] std::vector<Part> parts_of(const Job& job);

/// Reads an entry's input. Throws InputError.
using JobReader = std::function<Job(const Entry&)>;

/// Rollouts of one entry: taken up from a store, and put down in it.
class EntryStates final : public StateKeeper {
 public:
  enum class Use : std::uint8_t {
    kGoOn,
    kGoBeyond,  ///< What is finished goes on once more.
  };
  EntryStates(StateStore& store, std::int64_t entry, Use use)
      : store_(store), entry_(entry), use_(use) {}

  void take_up(RolloutState& state) override;
  /// Never to go on at once: others may have more need of it.
  [[nodiscard]] bool keep(const RolloutState& state) override;

  /// Trials that were put down.
  [[nodiscard]] std::uint64_t played() const noexcept { return played_; }
  /// How far the rollout that was taken up last has come.
  [[nodiscard]] const Standing& standing() const noexcept { return standing_; }

 private:
  StateStore& store_;
  std::int64_t entry_;
  Use use_;
  std::uint64_t played_ = 0;
  Standing standing_;
};

/// Who plays the trials of a turn: threads of this process, or others. `keeper` outlives it.
using RunnerMaker = std::function<std::unique_ptr<TrialRunner>(StateKeeper& keeper)>;

/// What a turn is played with. All of it must outlive the turn.
struct TurnTools {
  Core& core;
  StateStore& store;
  RunnerMaker runner;
  const std::atomic<bool>* stop = nullptr;
};

/// Seconds are left to the caller. Throws InputError for states that can't be taken up, and
/// whatever the store throws.
[[nodiscard]] Turn play_turn(const TurnTools& tools, const Job& job, const PartAt& part);

}  // namespace sixfold
