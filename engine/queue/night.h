/// A night: turns at the parts of a queue until time is up or all is done.
///
/// A part is worked out by the same studies as at once; its rollouts are taken up where they were
/// left and put down after some of their trials. So what comes out of any number of turns, nights
/// and interruptions is what comes out of one run.
#pragma once

#include <atomic>
#include <cstdint>
#include <functional>
#include <map>
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

/// Rollouts of one entry: taken up from a queue's file, and put down in it.
class EntryStates final : public StateKeeper {
 public:
  enum class Use : std::uint8_t {
    kGoOn,
    kGoBeyond,  ///< What is finished goes on once more.
  };
  EntryStates(QueueFile& file, std::int64_t entry, Use use)
      : file_(file), entry_(entry), use_(use) {}

  void take_up(RolloutState& state) override;
  /// Never to go on at once: others may have more need of it.
  [[nodiscard]] bool keep(const RolloutState& state) override;

  /// Trials that were put down.
  [[nodiscard]] std::uint64_t played() const noexcept { return played_; }
  /// How far the rollout that was taken up last has come.
  [[nodiscard]] const Standing& standing() const noexcept { return standing_; }

 private:
  void look_at(const RolloutState& state);

  QueueFile& file_;
  std::int64_t entry_;
  Use use_;
  std::uint64_t played_ = 0;
  Standing standing_;
};

/// Who plays the trials of a turn: threads of this process, or others. `keeper` outlives it.
using RunnerMaker = std::function<std::unique_ptr<TrialRunner>(StateKeeper& keeper)>;

struct NightSettings {
  /// Whether open verdicts go on when all is as well known as was asked for.
  bool beyond = false;
  const std::atomic<bool>* stop = nullptr;
  RunnerMaker runner{};
  std::function<double()> clock{};  ///< Seconds since some moment.
  /// Before a turn, and after it with what it brought, or with the reason why it did not.
  std::function<void(const PartAt&)> turn_started{};
  std::function<void(const PartAt&)> turn_ended{};
  std::function<void(const PartAt&, const std::string& error)> failed{};
};

class Night {
 public:
  /// All of these must outlive it.
  Night(QueueFile& file, Core& core, JobReader reader, NightSettings settings);

  /// Throws DatabaseError where nothing can be written any more; what was committed stays.
  void run();

 private:
  [[nodiscard]] const Job& job_of(std::int64_t entry);
  [[nodiscard]] Turn turn_at(const PartAt& part);
  void play(const PartAt& part);
  void give_up(const PartAt& part, const std::string& error);

  QueueFile& file_;
  Core& core_;
  JobReader reader_;
  NightSettings settings_;
  std::map<std::int64_t, Job> jobs_;
};

}  // namespace sixfold
