/// `sixfold board`: a page on this machine, and what it asks for.
#pragma once

#include <functional>
#include <string>

#include "tools/commands.h"

namespace CLI {
class App;
}

namespace sixfold::tools {

struct BoardOptions {
  PositionOptions common;  ///< Net, tables, instruction set; nothing else of it counts.
  int threads = 0;
  int port = 0;  ///< 0: any that is free.
  bool no_open = false;
  std::string queue;  ///< A queue's file; empty: none.
  std::string match;  ///< A recorded match; empty: none.
};

/// Serves until Ctrl-C.
int run_board(const BoardOptions& options);

/// As define_rollout() in tools/options.h.
void define_board(CLI::App& app, BoardOptions& options, std::function<int()>& run);

}  // namespace sixfold::tools
