/// The command that writes the manual and the completions of shells, when the tool is built.
#pragma once

#include <functional>
#include <string>

namespace CLI {
class App;
}

namespace sixfold::tools {

/// Adds `write-manual`, which help leaves out: it describes the options of `app` as they are then.
/// `form` and `run` must outlive the app.
void define_manual(CLI::App& app, std::string& form, std::function<int()>& run);

}  // namespace sixfold::tools
