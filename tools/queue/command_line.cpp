#include "tools/queue/command_line.h"

#include <CLI/CLI.hpp>
#include <string>

#include "tools/options.h"

namespace sixfold::tools {
namespace {

constexpr int kMostNice = 19;

class QueueCommandLine {
 public:
  QueueCommandLine(CLI::App& queue, QueueOptions& options, std::function<int()>& run)
      : queue_(queue), options_(options), run_(run) {}

  void define() {
    define_add();
    define_run();
    define_looks();
    define_changes();
  }

  void define_run() {
    CLI::App& command = add("run", "Roll out what is in a queue, until all is done", run_queue_run);
    CLI::Option* const until = command.add_option(
        "--until", options_.until, "Until 07:00 or 2030-01-31T07:00; what is still open goes on");
    command.add_option("--for", options_.duration, "For 6h, 45m or 1h30m; the same")
        ->excludes(until);
    add_count(command, "--nice", options_.nice, 1, kMostNice,
              "Leave the machine to others, 1 (a little) to 19");
    command.add_option("--log", options_.log, "File that gets a line with the time for each turn")
        ->type_name(kFile);
    add_count(command, "--race-points", options_.race_points, 6, 10,
              "Points that the table of lone bear-offs covers, 6 to 10");
    add_threads(command, options_.threads);
    add_net(command);
  }

 private:
  using Command = int (*)(const QueueOptions&);

  CLI::App& add(const char* name, const char* help, Command command) {
    CLI::App* const added = queue_.add_subcommand(name, help);
    added->add_option("--db", options_.db, "The queue's file")->type_name(kFile)->required();
    // This object is gone when the command line is read.
    added->callback([&options = options_, &run = run_, command] {
      run = [&options, command] { return command(options); };
    });
    return *added;
  }
  void add_entries(CLI::App& command, const char* help, bool required) {
    command.add_option("entry", options_.entries, help)->required(required);
  }
  void add_net(CLI::App& command) {
    command
        .add_option("--net", options_.common.net,
                    "Network file; that of the queue, or the shipped one, when left out")
        ->type_name(kFile);
    add_cache(command, options_.common.cache);
    add_isa(command, options_.common.instruction_set);
    command.add_flag("--quiet", options_.common.quiet, "No progress on the terminal");
  }

  void define_add() {
    CLI::App& command =
        add("add", "Put lessons and requests in; prints their numbers", run_queue_add);
    command
        .add_option("input", options_.inputs,
                    "Lessons (.json), requests (.jsonl), or - for requests on standard input")
        ->type_name(kFile)
        ->required();
    command.add_option("--priority", options_.priority,
                       "Entries of a higher one come first; 0 when left out");
    add_net(command);
  }
  void define_looks() {
    add("list", "How far the entries of a queue have come", run_queue_list)
        .add_flag("--json", options_.common.json, "JSON Lines on standard output");
    CLI::App& results =
        add("results", "What is known, in JSON as other commands print it", run_queue_results);
    add_entries(results, "Numbers of entries; all when left out", false);
    add_net(results);
    CLI::App& report =
        add("report", "A folder of pages and tables: what was found", run_queue_report);
    report.add_option("--out", options_.out, "Folder to write; made where there is none")
        ->type_name(kFolder)
        ->required();
    report.add_flag("--force", options_.common.force,
                    "Into a folder that holds files already: those of the same name are replaced");
    add_net(report);
    add("backup", "A whole copy of a queue, also while it runs", run_queue_backup)
        .add_option("--out", options_.out, "File to write")
        ->type_name(kFile)
        ->required();
  }
  void define_changes() {
    add_entries(
        add("remove", "Take entries out, with all that was played of them", run_queue_remove),
        "Numbers of entries", true);
    add_entries(add("retry", "Begin entries anew that have failed", run_queue_retry),
                "Numbers of entries; all that have failed when left out", false);
  }

  CLI::App& queue_;
  QueueOptions& options_;
  std::function<int()>& run_;
};

CLI::App& queue_of(CLI::App& app) {
  CLI::App* const queue =
      app.add_subcommand("queue", "A night's work in one file: what to roll out, what was found");
  queue->require_subcommand(1);
  return *queue;
}

}  // namespace

void define_queue(CLI::App& app, QueueOptions& options, std::function<int()>& run) {
  QueueCommandLine(queue_of(app), options, run).define();
}

void define_queue_run(CLI::App& app, QueueOptions& options, std::function<int()>& run) {
  QueueCommandLine(queue_of(app), options, run).define_run();
}

}  // namespace sixfold::tools
