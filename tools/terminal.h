/// What the subcommands share of terminal, clock and signals: interruption, progress, printing.
#pragma once

#include <atomic>
#include <chrono>
#include <cstdint>
#include <filesystem>
#include <string>

#include "report/text/style.h"

namespace sixfold::tools {

// Exit codes of the tool.
inline constexpr int kDone = 0;
inline constexpr int kBadInput = 1;
inline constexpr int kUsage = 2;
inline constexpr int kInternalError = 3;
inline constexpr int kInterrupted = 130;

/// Set by the first Ctrl-C; a second one ends the process at once.
[[nodiscard]] const std::atomic<bool>& interrupted();
void catch_interrupts();

/// Refuses a file that could not be written, before any work is done for it: throws InputError
/// unless its folder exists and it is none itself.
void require_place_for(const std::filesystem::path& file, const std::string& option);

/// Writes a text to standard output at once; throws InputError when that fails (a full disk).
void print(const std::string& text);

/// In colour where people look at standard output who have not asked for plain text by NO_COLOR or
/// TERM=dumb (https://no-color.org).
[[nodiscard]] TextStyle terminal_style();

/// A line on a terminal that is written over: nothing appears in files and pipes.
class ProgressLine {
 public:
  explicit ProgressLine(bool quiet);
  ~ProgressLine();
  ProgressLine(const ProgressLine&) = delete;
  ProgressLine& operator=(const ProgressLine&) = delete;

  /// Shows a text, at most a few times a second. May be called from any thread.
  void show(const std::string& text);
  void clear();
  [[nodiscard]] bool visible() const { return visible_; }

 private:
  bool visible_;
  std::atomic<std::int64_t> last_milliseconds_{-1000};
  std::chrono::steady_clock::time_point start_ = std::chrono::steady_clock::now();
};

class Stopwatch {
 public:
  /// Seconds since it was made or last read.
  double lap();

 private:
  std::chrono::steady_clock::time_point start_ = std::chrono::steady_clock::now();
};

}  // namespace sixfold::tools
