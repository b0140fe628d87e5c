/// Bytes of records as clean UTF-8, and small parts of texts. Pure; thread-safe.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "base/clean_text.h"

namespace sixfold {

/// The text behind a byte order mark of UTF-8, where it begins with one.
[[nodiscard]] std::string_view without_mark(std::string_view text) noexcept;
[[nodiscard]] std::string utf8_of_latin1(std::string_view text);
/// Control characters, line ends among them, become blanks; blanks at both ends go.
[[nodiscard]] std::string one_line(std::string_view text);
/// CR LF and CR become LF, other control characters but tabs blanks; blanks at line ends and empty
/// lines at both ends go.
[[nodiscard]] std::string clean_lines(std::string_view text);
/// A whole number and nothing else; nothing for what does not fit an int.
[[nodiscard]] std::optional<int> whole_number(std::string_view text);
/// Up to the first of a character, and what is behind it: nothing where it does not occur.
struct Halves {
  std::string_view before;
  std::optional<std::string_view> behind;
};
[[nodiscard]] Halves split_at(std::string_view text, char c);

}  // namespace sixfold
