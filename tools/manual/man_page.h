/// The page of `man sixfold`: what help says of all commands, and what they have in common.
///
/// Promise: plain man(7), which man and mandoc read without a warning. Pure function.
#pragma once

#include <string>
#include <string_view>

#include "tools/manual/command_text.h"

namespace sixfold::tools {

[[nodiscard]] std::string man_page(const CommandText& program, std::string_view version);

}  // namespace sixfold::tools
