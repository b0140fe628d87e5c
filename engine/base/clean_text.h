/// Texts from outside, such that nothing in them harms who shows them. Pure; thread-safe.
#pragma once

#include <string>
#include <string_view>

namespace sixfold {

/// What is no UTF-8 is replaced by U+FFFD, byte by byte.
[[nodiscard]] std::string valid_utf8(std::string_view text);

/// Control characters but tabs and line ends are replaced as well: terminals obey them, and pages
/// may not hold them.
[[nodiscard]] std::string clean_text(std::string_view text);

/// The same with line ends replaced too, such as of names of files.
[[nodiscard]] std::string clean_line(std::string_view text);

}  // namespace sixfold
