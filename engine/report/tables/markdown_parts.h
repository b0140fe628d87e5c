/// What texts in Markdown are made of. Pure functions.
#pragma once

#include <string>
#include <vector>

namespace sixfold {

/// Text that Markdown would read as its own signs, taken literally; line ends part paragraphs.
[[nodiscard]] std::string markdown_literal(const std::string& text);
/// A table and the line behind it; heads and cells are Markdown.
[[nodiscard]] std::string markdown_table(const std::vector<std::string>& heads,
                                         const std::vector<std::vector<std::string>>& rows);

}  // namespace sixfold
