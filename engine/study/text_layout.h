/// What text reports have in common.
#pragma once

#include <algorithm>
#include <optional>
#include <string>

#include "base/format.h"
#include "rules/notation.h"
#include "study/board_text.h"
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

/// "luck-adjusted trials to the end, seed 1" and the like.
[[nodiscard]] inline std::string settings_text(const RolloutSettings& settings) {
  std::string text = settings.luck_control ? "luck-adjusted trials"
                     : settings.is_plain() ? "plain trials"
                                           : "trials";
  text += settings.truncate > 0 ? format(" cut after %d plies", settings.truncate)
                                : std::string(" to the end");
  if (settings.lookahead > 0) text += ", one roll of lookahead";
  return text + format(", seed %llu", static_cast<unsigned long long>(settings.seed));
}

[[nodiscard]] inline std::string owner_text(const Cube& cube) {
  if (cube.owner == CubeOwner::kCentred) return "centred";
  return std::string(cube.owner == CubeOwner::kRoller ? "the roller's" : "the opponent's") +
         format(" at %d", cube.value);
}

/// "centred, Jacoby rule" and the like.
[[nodiscard]] inline std::string cube_words(const Cube& cube, const MoneyRules& money) {
  return owner_text(cube) + (money.jacoby ? ", Jacoby rule" : "") +
         (money.beavers ? ", beavers" : "");
}

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

[[nodiscard]] inline std::string settings_line(const RolledDecision& rolled) {
  return settings_text(rolled.settings) + ", net " + rolled.net;
}

[[nodiscard]] inline std::string interval_note(double confidence) {
  return format("± is the half-width of the %g%% interval.", 100.0 * confidence);
}

/// Why a cost may differ from the difference of two equities.
inline constexpr const char* kPairedNote =
    "Costs come from trials on the same dice: of plays with different numbers of trials they are "
    "not "
    "just the difference of the equities.";

inline constexpr const char* kCubeNote =
    "Equity and cost are those with the cube, for each unit of its present value; players double "
    "by the cube model, at most to 64 times that. Shares of outcomes are of games played to the "
    "end.";

}  // namespace sixfold
