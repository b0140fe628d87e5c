/// The command line as plain values: what the manual and the completions of shells are made of.
///
/// Plain values.
#pragma once

#include <string>
#include <vector>

namespace sixfold::tools {

struct OptionText {
  std::vector<std::string> names;  ///< Such as "-h", "--help"; of a positional its name alone.
  std::string value;               ///< What help calls its value, such as "FILE"; empty: a flag.
  std::string help;
  bool is_positional = false;
  bool is_required = false;
  bool is_repeated = false;    ///< Takes several values.
  bool is_for_checks = false;  ///< Shown by --help-all alone.
};

struct CommandText {
  std::string name;  ///< In full, such as "sixfold queue add".
  std::string help;
  std::string examples;  ///< A line each, indented; may be empty.
  std::vector<OptionText> options;
  std::vector<CommandText> commands;

  /// The last word of its name.
  [[nodiscard]] std::string word() const { return name.substr(name.rfind(' ') + 1); }
};

/// All commands that have no commands of their own, below this one, in the order of help.
inline void collect_leaves(const CommandText& command, std::vector<const CommandText*>& leaves) {
  if (command.commands.empty()) leaves.push_back(&command);
  for (const CommandText& each : command.commands) collect_leaves(each, leaves);
}

}  // namespace sixfold::tools
