/// Words of the command line: examples, complaints about numbers, the command as it was typed.
///
/// Pure functions.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

namespace sixfold::tools {

/// The foot of a command's help: two or three examples.
[[nodiscard]] std::string examples_of(std::string_view command);

/// What is wrong with a number, or nothing. It has to be whole and within bounds, these included.
[[nodiscard]] std::string complaint_about_whole(std::string_view text, std::uint64_t least,
                                                std::uint64_t most);
/// The same of any number; `above` excludes the least.
[[nodiscard]] std::string complaint_about_number(std::string_view text, double least, double most,
                                                 bool above = false);

/// What was typed, quoted where a shell needs it.
[[nodiscard]] std::string shell_words(int count, char** words);

}  // namespace sixfold::tools
