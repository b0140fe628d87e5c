/// How a report for people looks on its terminal: plain, or with verdicts and checkers in colour.
///
/// Colours are ANSI escape sequences around the word or the glyph; they take no columns. Pure
/// functions; safe to use from any thread.
#pragma once

#include <string>

#include "study/decision.h"

namespace sixfold {

struct TextStyle {
  bool in_colour = false;
};

/// The verdict on a play of the list as a cell of a table: its grade, where it has one, which only
/// plays that are worse have.
[[nodiscard]] std::string verdict_cell(const RolledDecision& rolled, std::size_t rank,
                                       TextStyle style);

/// A checker of the roller's, and one of the opponent's.
inline constexpr const char* kRollerChecker = "●";
inline constexpr const char* kOpponentChecker = "○";
[[nodiscard]] std::string roller_checker(TextStyle style);
[[nodiscard]] std::string opponent_checker(TextStyle style);

}  // namespace sixfold
