/// What the subcommands share of terminal, clock and signals: interruption, places to write to,
/// printing.
#pragma once

#include <atomic>
#include <chrono>
#include <filesystem>
#include <string>
#include <vector>

#include "report/text/style.h"

namespace sixfold::tools {

// Exit codes of the tool.
inline constexpr int kDone = 0;
inline constexpr int kBadInput = 1;
inline constexpr int kUsage = 2;
inline constexpr int kInternalError = 3;
inline constexpr int kInterrupted = 130;

/// Set by the first Ctrl-C, or when the system or a closed terminal ends the program; a second one
/// ends the process at once.
[[nodiscard]] const std::atomic<bool>& interrupted();
void catch_interrupts();

/// While one lives, an interrupt ends the process at once, with kInterrupted: for work that looks
/// at no flag, and of which nothing is worth keeping.
class AtOnce {
 public:
  AtOnce() noexcept;
  ~AtOnce();
  AtOnce(const AtOnce&) = delete;
  AtOnce& operator=(const AtOnce&) = delete;
};

/// Leaves the machine to others, from 1 (a little) to 19; 0 changes nothing. Throws InputError
/// where the system won't have it.
void be_nice(int nice);

/// Refuses a file that could not be written, before any work is done for it: throws InputError
/// unless its folder exists and takes it, and it is none itself, nor a device. A file with
/// something in it is written over by force only.
void require_place_for(const std::filesystem::path& file, const std::string& option, bool force);

/// The files of a command. None that it reads is written over, by force neither, and none is
/// written twice.
class Files {
 public:
  /// It is read; "" and "-" name no file.
  Files& reads(const std::string& file);
  /// It will be written: as require_place_for(), and throws InputError where it is read or written
  /// already, by this name or another.
  Files& writes(const std::string& file, const std::string& option, bool force);

 private:
  std::vector<std::filesystem::path> taken_;
};

/// Refuses a folder that could not be written into, before any work is done for it, and makes one
/// that is not there; the folder that it is in has to be. One that holds anything is written into
/// by force only. Throws InputError.
void require_folder_for_files(const std::filesystem::path& folder, const std::string& option,
                              bool force);

/// What a file holds, or standard input where it is "-". Throws InputError where it can't be read;
/// `what` is in front of its name, `expected` what it should hold.
[[nodiscard]] std::string text_of_file(const std::string& file, const std::string& what,
                                       const std::string& expected);

/// Writes a text to standard output at once; throws InputError when that fails (a full disk).
void print(const std::string& text);

/// Whether a terminal shows what goes to this descriptor, and understands more than plain text:
/// not where TERM is dumb.
[[nodiscard]] bool is_terminal(int descriptor);

/// In colour where people look at standard output who have not asked for plain text by NO_COLOR or
/// TERM=dumb (https://no-color.org).
[[nodiscard]] TextStyle terminal_style();

class Stopwatch {
 public:
  /// Seconds since it was made or last read.
  double lap();

 private:
  std::chrono::steady_clock::time_point start_ = std::chrono::steady_clock::now();
};

}  // namespace sixfold::tools
