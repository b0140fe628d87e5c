/// What reports for a terminal have in common.
#pragma once

#include <algorithm>
#include <optional>
#include <string>

#include "base/format.h"
#include "report/text/board_text.h"
#include "report/words/notes.h"
#include "rules/notation.h"
#include "study/decision.h"

namespace sixfold {

[[nodiscard]] inline std::string padded(std::string text, std::size_t width) {
  if (text.size() < width) text.append(width - text.size(), ' ');
  return text;
}

/// Prose broken into lines of at most 80 columns.
[[nodiscard]] inline std::string wrapped(const std::string& prose) {
  constexpr std::size_t kColumns = 80;
  // A byte that does not go on with a code point starts a column.
  const auto starts = [](char c) { return (static_cast<unsigned char>(c) & 0xc0u) != 0x80u; };
  std::string text;
  std::size_t column = 0;
  for (std::size_t begin = 0; begin < prose.size();) {
    const std::size_t end = std::min(prose.find(' ', begin), prose.size());
    const std::string word = prose.substr(begin, end - begin);
    const auto width = static_cast<std::size_t>(std::count_if(word.begin(), word.end(), starts));
    const bool full = column > 0 && column + 1 + width > kColumns;
    if (column > 0) text += full ? '\n' : ' ';
    column = full || column == 0 ? width : column + 1 + width;
    text += word;
    begin = end + 1;
  }
  return text + "\n";
}

[[nodiscard]] inline std::string percent(double share) { return format("%5.1f%%", 100.0 * share); }

/// "Cube      centred, Jacoby rule"; nothing where the cube is left out.
[[nodiscard]] inline std::string cube_line(const std::optional<Cube>& cube,
                                           const MoneyRules& money) {
  return cube ? "Cube      " + cube_words(*cube, money) + "\n" : std::string();
}

/// What is decided, in words and as a board.
[[nodiscard]] inline std::string heading(const Decision& decision) {
  std::string text = "Position  " + position_text(decision.position) + "\n";
  if (decision.roll) text += "Roll      " + roll_text(*decision.roll) + "\n";
  return text + "Score     " + decision.score.name + "\n" +
         cube_line(decision.cube, decision.money) + "\n" +
         board_text(decision.position, decision.roll, decision.cube);
}

}  // namespace sixfold
