/// `sixfold queue`: a night's work in one file.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "tools/commands.h"

namespace sixfold {
class Night;
}

namespace sixfold::tools {

struct QueueOptions {
  std::string db;
  std::vector<std::string> inputs;
  std::vector<std::int64_t> entries;  ///< Empty: all of them, where that makes sense.
  int priority = 0;
  std::optional<std::string> until;     ///< A time.
  std::optional<std::string> duration;  ///< "6h".
  std::string log;                      ///< A file; empty: none.
  std::string out;
  int nice = 0;
  int race_points = 0;     ///< 0: those of the queue, or as usual.
  std::string command;     ///< As it was typed.
  PositionOptions common;  ///< Net, tables, output.
  int threads = 0;
  /// Runs the night instead of its own loop; may be empty.
  std::function<void(Night&)> run_night{};
};

int run_queue_add(const QueueOptions& options);
int run_queue_run(const QueueOptions& options);
int run_queue_list(const QueueOptions& options);
int run_queue_results(const QueueOptions& options);
int run_queue_report(const QueueOptions& options);
int run_queue_remove(const QueueOptions& options);
int run_queue_retry(const QueueOptions& options);
int run_queue_backup(const QueueOptions& options);

}  // namespace sixfold::tools
