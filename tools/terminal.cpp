#include "tools/terminal.h"

#include <sys/resource.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <fstream>
#include <iostream>

#include "base/atomic_file.h"
#include "base/bounded_reading.h"
#include "base/file_place.h"
#include "base/input_error.h"

namespace sixfold::tools {
namespace {

std::atomic<bool> interrupt_flag{false};
bool ignores_closed_terminal = false;  // Set before any signal is caught.
std::atomic<bool> ends_at_once{false};
static_assert(std::atomic<bool>::is_always_lock_free, "a handler of signals may wait for nobody");

std::string variable(const char* name) {
  const char* value = std::getenv(name);
  return value == nullptr ? "" : value;
}

void on_interrupt(int) {
  if (ends_at_once) _exit(kInterrupted);
  interrupt_flag = true;
  for (const int signal : {SIGINT, SIGTERM}) std::signal(signal, SIG_DFL);
  if (!ignores_closed_terminal) std::signal(SIGHUP, SIG_DFL);
}

}  // namespace

const std::atomic<bool>& interrupted() { return interrupt_flag; }

void catch_interrupts() {
  std::signal(SIGINT, on_interrupt);
  std::signal(SIGTERM, on_interrupt);
  // Under nohup a closed terminal is to be ignored.
  ignores_closed_terminal = std::signal(SIGHUP, on_interrupt) == SIG_IGN;
  if (ignores_closed_terminal) std::signal(SIGHUP, SIG_IGN);
}

AtOnce::AtOnce() noexcept { ends_at_once = true; }
AtOnce::~AtOnce() { ends_at_once = false; }

void be_nice(int nice) {
  if (nice == 0) return;
  errno = 0;
  if (setpriority(PRIO_PROCESS, 0, nice) != 0) {
    throw InputError(std::string("can't be set: ") + std::strerror(errno), "--nice", "1 to 19");
  }
}

void require_place_for(const std::filesystem::path& file, const std::string& option, bool force) {
  const std::filesystem::path folder = file.has_parent_path() ? file.parent_path() : ".";
  std::error_code error;
  if (!std::filesystem::is_directory(folder, error)) {
    throw InputError("there is no folder '" + folder.string() + "'", option + " " + file.string(),
                     "a file in a folder that exists");
  }
  if (access(folder.c_str(), W_OK) != 0) {
    throw InputError("folder '" + folder.string() + "' can't be written to",
                     option + " " + file.string(), "a file in a folder that can");
  }
  if (std::filesystem::is_directory(file, error)) {
    throw InputError("is a folder", option + " " + file.string(), "a file");
  }
  if (!force && std::filesystem::is_regular_file(file, error) &&
      !std::filesystem::is_empty(file, error)) {
    throw InputError("is there already", option + " " + file.string(),
                     "another file, or --force to write over it");
  }
  inside(option, [&] { require_writable(file); });
}

Files& Files::reads(const std::string& file) {
  if (!file.empty() && file != "-") taken_.emplace_back(file);
  return *this;
}

Files& Files::writes(const std::string& file, const std::string& option, bool force) {
  const bool is_taken = std::any_of(taken_.begin(), taken_.end(),
                                    [&](const auto& other) { return is_same_file(file, other); });
  if (is_taken) {
    throw InputError("is read or written already", option + " " + file, "a file of its own");
  }
  require_place_for(file, option, force);
  taken_.emplace_back(file);
  return *this;
}

void require_folder_for_files(const std::filesystem::path& folder, const std::string& option,
                              bool force) {
  const std::string where = option + " " + folder.string();
  std::error_code error;
  if (std::filesystem::exists(folder, error)) {
    if (!std::filesystem::is_directory(folder, error)) {
      throw InputError("is no folder", where, "a folder, or one to be made");
    }
    if (access(folder.c_str(), R_OK | W_OK | X_OK) != 0) {
      throw InputError("can't be written to", where, "a folder that can");
    }
    if (!force && !std::filesystem::is_empty(folder, error)) {
      throw InputError("holds files already", where,
                       "an empty folder or a new one, or --force to write over what is there");
    }
    return;
  }
  std::filesystem::create_directory(folder, error);
  if (error) {
    throw InputError("can't be made: " + error.message(), where, "a folder in one that exists");
  }
}

std::string text_of_file(const std::string& file, const std::string& what,
                         const std::string& expected) {
  if (file == "-") return read_text(std::cin, what + " on standard input");
  std::ifstream in(file, std::ios::binary);
  if (!in || std::filesystem::is_directory(file)) {
    throw InputError("cannot be read", what + " " + file, expected + ", or - for standard input");
  }
  return read_text(in, what + " " + file);
}

void print(const std::string& text) {
  std::fwrite(text.data(), 1, text.size(), stdout);
  if (std::fflush(stdout) != 0 || std::ferror(stdout) != 0) {
    throw InputError(std::string("cannot be written: ") + std::strerror(errno), "standard output",
                     "room for the results");
  }
}

bool is_terminal(int descriptor) { return isatty(descriptor) != 0 && variable("TERM") != "dumb"; }

TextStyle terminal_style() { return {is_terminal(STDOUT_FILENO) && variable("NO_COLOR").empty()}; }

double Stopwatch::lap() {
  const auto now = std::chrono::steady_clock::now();
  const double seconds = std::chrono::duration<double>(now - start_).count();
  start_ = now;
  return seconds;
}

}  // namespace sixfold::tools
