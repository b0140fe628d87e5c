/// The subcommands of `sixfold queue` and their options.
#pragma once

#include <functional>

#include "tools/queue/commands.h"

namespace CLI {
class App;
}

namespace sixfold::tools {

/// `run` becomes the subcommand that was asked for. Options and `run` must outlive the app.
void define_queue(CLI::App& app, QueueOptions& options, std::function<int()>& run);
/// The same with `queue run` alone.
void define_queue_run(CLI::App& app, QueueOptions& options, std::function<int()>& run);

}  // namespace sixfold::tools
