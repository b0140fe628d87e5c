#include <CLI/CLI.hpp>

#include "tools/board/board.h"
#include "tools/options.h"

namespace sixfold::tools {

void define_board(CLI::App& app, BoardOptions& options, std::function<int()>& run) {
  constexpr int kMostPort = 65535;
  CLI::App* const command = app.add_subcommand(
      "board", "A board in the browser: set a position up, ask, watch, take the sheet away");
  PositionOptions& common = options.common;
  add_count(*command, "--port", options.port, 1, kMostPort,
            "Port of this machine; any that is free when left out");
  command->add_flag("--no-open", options.no_open, "The address is printed, no browser opened");
  command->add_option("--queue", options.queue, "A queue's file: the page puts questions into it")
      ->type_name(kFile);
  command->add_option("--match", options.match, "A recorded match to step through")
      ->type_name(kFile);
  add_engine_options(*command, common);
  add_threads(*command, options.threads);
  command->add_flag("--quiet", common.quiet, "No progress on the terminal");
  command->callback([&options, &run] { run = [&options] { return run_board(options); }; });
}

}  // namespace sixfold::tools
