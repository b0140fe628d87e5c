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
#include <optional>
#include <string>
#include <vector>

#include "queue/turn.h"

namespace sixfold {

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

/// Belongs to one thread at a time.
class Night {
 public:
  /// All of these must outlive it.
  Night(QueueFile& file, Core& core, JobReader reader, NightSettings settings);

  /// Throws DatabaseError where nothing can be written any more; what was committed stays.
  void run() {
    while (play_next()) {
    }
  }

  // The steps of it, for those who have turns played by others. They throw as run() does.

  [[nodiscard]] const std::atomic<bool>* stop() const noexcept { return settings_.stop; }
  [[nodiscard]] bool is_to_stop() const { return stop() != nullptr && *stop(); }
  /// What is to be played, what goes on next first.
  [[nodiscard]] std::vector<PartAt> up() const;
  /// Plays the turn that comes next. False when it is to stop, or all is done.
  bool play_next();
  /// A turn that somebody plays begins; it ends with what it brought, or with an error.
  void begin(const PartAt& part);
  void end(const PartAt& part, Turn turn, double seconds);
  void fail(const PartAt& part, const std::string& error);

  [[nodiscard]] double now() const { return settings_.clock(); }
  [[nodiscard]] QueueFile& file() noexcept { return file_; }
  /// Throws InputError.
  [[nodiscard]] const Job& job_of(std::int64_t entry);

 private:
  QueueFile& file_;
  Core& core_;
  JobReader reader_;
  NightSettings settings_;
  std::map<std::int64_t, Job> jobs_;
};

}  // namespace sixfold
