/// What reports for a terminal have in common.
#pragma once

#include <algorithm>
#include <optional>
#include <string>
#include <string_view>

#include "base/format.h"
#include "report/text/board_text.h"
#include "report/words/cube_words.h"
#include "report/words/notes.h"
#include "report/words/phrases.h"
#include "rules/notation.h"
#include "study/decision.h"

namespace sixfold {

inline constexpr std::size_t kColumns = 80;
/// Of equities and what they are known to, where a decision is told in full.
inline constexpr int kEquityDecimals = 4;

[[nodiscard]] inline std::string padded(std::string text, std::size_t width) {
  const std::size_t columns = columns_of(text);
  if (columns < width) text.append(width - columns, ' ');
  return text;
}

/// Prose broken into lines of at most so many columns, a number never from its error.
[[nodiscard]] inline std::string broken(const std::string& prose, std::size_t columns) {
  constexpr std::string_view kError = " ± ";
  std::string text;
  std::size_t column = 0;
  for (std::size_t begin = 0; begin < prose.size();) {
    std::size_t end = prose.find(' ', begin);
    while (end < prose.size() && prose.compare(end, kError.size(), kError) == 0) {
      end = prose.find(' ', end + kError.size());
    }
    end = std::min(end, prose.size());
    const std::string word = prose.substr(begin, end - begin);
    const std::size_t width = columns_of(word);
    const bool full = column > 0 && column + 1 + width > columns;
    if (column > 0) text += full ? '\n' : ' ';
    column = full || column == 0 ? width : column + 1 + width;
    text += word;
    begin = end + 1;
  }
  return text;
}

/// The same of 80 columns, with the end of a line; nothing of nothing.
[[nodiscard]] inline std::string wrapped(const std::string& prose) {
  return prose.empty() ? prose : broken(prose, kColumns) + "\n";
}

[[nodiscard]] inline std::string percent(double share) { return format("{:5.1f}%", 100.0 * share); }

/// "± 0.0045"; "± ?" where next to nothing is known: no better than a backgammon either way.
[[nodiscard]] inline std::string error_text(double half_width, int decimals) {
  constexpr double kNothingKnown = 3.0;
  return half_width < kNothingKnown ? format("± {:.{}f}", half_width, decimals) : "± ?";
}

/// "-0.0123 ± 0.0045".
[[nodiscard]] inline std::string signed_interval(const Estimate& estimate, int decimals) {
  return signed_number(estimate.mean, decimals) + " " + error_text(estimate.half_width, decimals);
}

/// "Cube      left out" and the like; what does not fit goes on below.
[[nodiscard]] inline std::string cube_line(const std::string& words) {
  const std::string name = "Cube      ";
  std::string line = name;
  for (const char c : broken(words, kColumns - name.size())) {
    line += c;
    if (c == '\n') line.append(name.size(), ' ');
  }
  return line + "\n";
}

/// Who the opponent is, where he plays by a net of his own.
[[nodiscard]] inline std::string against(const Provenance& made_by) {
  const std::string note = opponent_note(made_by);
  return note.empty() ? note : wrapped(note);
}

/// What is decided, in words and as a board.
[[nodiscard]] inline std::string heading(const Decision& decision, TextStyle style) {
  std::string text = "Position  " + position_text(decision.position) + "\n";
  if (decision.roll) text += "Roll      " + roll_text(*decision.roll) + "\n";
  return text + "Score     " + decision.score.name + "\n" + cube_line(cube_state_words(decision)) +
         "\n" + board_text(decision.position, decision.roll, decision.cube, style);
}

}  // namespace sixfold
