/// What long work tells people who wait for it: one line on a terminal that is written over.
#pragma once

#include <atomic>
#include <chrono>
#include <cstddef>
#include <cstdint>
#include <mutex>
#include <optional>
#include <string>

#include "report/telling.h"
#include "session/sixfold.h"
#include "study/lesson.h"
#include "tools/terminal.h"

namespace sixfold::tools {

/// "12 s", "3 min", "2 h 10 min".
[[nodiscard]] std::string time_text(double seconds);

/// A line on a terminal that is written over: nothing appears in files and pipes.
class ProgressLine {
 public:
  explicit ProgressLine(bool quiet);
  ~ProgressLine();
  ProgressLine(const ProgressLine&) = delete;
  ProgressLine& operator=(const ProgressLine&) = delete;

  /// Whether something is to be shown now: a few times a second, to one of the threads that ask.
  [[nodiscard]] bool is_due();
  /// Shows a text, cut to the terminal's width. May be called from any thread.
  void show(const std::string& text);
  /// The same, when it is due.
  void show_when_due(const std::string& text) {
    if (is_due()) show(text);
  }
  void clear();
  [[nodiscard]] bool visible() const { return visible_; }

 private:
  bool visible_;
  std::atomic<std::int64_t> last_milliseconds_{-1000};
  std::chrono::steady_clock::time_point start_ = std::chrono::steady_clock::now();
};

/// Rollouts on their way, one part after the other: what is being done, how well its costs are
/// known, and the time left, which is foreseen from the trials that the wanted half-width asks for.
class Work {
 public:
  struct Part {
    std::string what;  ///< "rolling out 64 at dmp"
    double wanted_half_width = 0.0;
    std::size_t rollouts = 1;  ///< That it takes.
  };

  explicit Work(bool quiet, std::size_t parts = 1) : line_(quiet), parts_(parts) {}

  void begin(Part part);
  /// Stops at Ctrl-C, and shows how far the part has come. Must not outlive this.
  [[nodiscard]] Watch watch();
  void clear() { line_.clear(); }

 private:
  [[nodiscard]] std::string text(const WorkProgress& progress);

  ProgressLine line_;
  std::size_t parts_;
  std::size_t begun_ = 0;
  Part part_;
  std::optional<std::size_t> first_rollout_;  ///< Of the part.
  std::chrono::steady_clock::time_point work_start_ = std::chrono::steady_clock::now();
  std::chrono::steady_clock::time_point part_start_ = work_start_;
  std::mutex mutex_;
};

/// What a part of a lesson is called while it is worked out. Cells come by rolls, then scores; the
/// plane of a roll comes behind its last cell, `cell`.
[[nodiscard]] Work::Part lesson_part(const LessonPlan& plan, const LessonPart& started,
                                     std::size_t cell);

/// How long the parts of a lesson take: each until the next one starts.
class LessonClock {
 public:
  void start(LessonPart::Kind kind) {
    stop();
    running_ = kind;
  }
  /// Ends the last part.
  [[nodiscard]] LessonTelling telling(const Provenance& made_by) {
    stop();
    told_.made_by = made_by;
    return told_;
  }

 private:
  void stop() {
    const double seconds = watch_.lap();
    told_.seconds += seconds;
    if (running_ == LessonPart::Kind::kCell) told_.cell_seconds.push_back(seconds);
    if (running_ == LessonPart::Kind::kFlip) told_.flip_seconds.push_back(seconds);
  }

  Stopwatch watch_;
  std::optional<LessonPart::Kind> running_;
  LessonTelling told_;
};

}  // namespace sixfold::tools
