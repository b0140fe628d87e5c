/// Options that several commands have, and how help shows them.
///
/// With main.cpp the one place that knows of the library that reads command lines, which is slow to
/// compile.
#pragma once

#include <cstdint>
#include <functional>
#include <string>

#include "tools/commands.h"

namespace CLI {
class App;
}

namespace sixfold::tools {

/// What help, the manual and completion in shells call the values of options that name files.
inline constexpr const char* kFile = "FILE";
inline constexpr const char* kFolder = "DIR";

/// Help within 80 columns, for this command and those that are added to it later.
void set_help_form(CLI::App& app);
/// Examples at the foot of a command's help.
void set_footer(CLI::App& command);
/// Puts into a command's help what is left out of it.
void show_check_options(CLI::App& command);

/// A whole number of a range. Anything else is refused in few words.
void add_count(CLI::App& command, const char* name, std::uint64_t& value, std::uint64_t least,
               std::uint64_t most, const std::string& help);
void add_count(CLI::App& command, const char* name, int& value, int least, int most,
               const std::string& help);
void add_seed(CLI::App& command, std::uint64_t& seed, const std::string& help);
/// A number from 0 to 1.
void add_share(CLI::App& command, const char* name, double& share, const std::string& help);
void add_confidence(CLI::App& command, double& confidence);

void add_output_options(CLI::App& command, bool& json, bool& quiet);
void add_threads(CLI::App& command, int& threads);
/// Match table, net, tables and instruction set: what an engine is made of.
void add_engine_options(CLI::App& command, PositionOptions& options);
void add_isa(CLI::App& command, std::string& level);
void add_cache(CLI::App& command, std::string& directory);
void add_force(CLI::App& command, bool& force);

/// `dice` is what help says of them; null where there are none.
void add_position_options(CLI::App& command, PositionOptions& options, const char* dice);
void add_requests(CLI::App& command, PositionOptions& options);
void add_csv(CLI::App& command, PositionOptions& options);
void add_diagram(CLI::App& command, PositionOptions& options);
void add_cube_options(CLI::App& command, PositionOptions& options);

/// How trials are played.
void add_trial_options(CLI::App& command, RolloutOptions& options);
/// By which net the other side plays them.
void add_opponent(CLI::App& command, PositionOptions& options);
/// How well costs are to be known.
void add_precision_options(CLI::App& command, Rolling& rolling);
/// Throws InputError where a limit was given that nothing is measured against.
void require_limit_to_matter(const CLI::App& command, const Rolling& rolling);
/// Which decisions of a match are rolled out, and how well.
void add_depth_options(CLI::App& command, double& bound, Rolling& rolling);
void add_verdict_options(CLI::App& command, Rolling& rolling);

/// The command of that name; `run` becomes it when it was asked for. Options and `run` must outlive
/// the app.
void define_rollout(CLI::App& app, RolloutOptions& options, std::function<int()>& run);

}  // namespace sixfold::tools
