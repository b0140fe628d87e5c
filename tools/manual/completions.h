/// Scripts by which shells complete what is typed: commands, options, files, words of an option.
///
/// Pure functions.
#pragma once

#include <string>

#include "tools/manual/command_text.h"

namespace sixfold::tools {

[[nodiscard]] std::string bash_completion(const CommandText& program);
[[nodiscard]] std::string zsh_completion(const CommandText& program);
[[nodiscard]] std::string fish_completion(const CommandText& program);

}  // namespace sixfold::tools
