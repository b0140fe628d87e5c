/// A position drawn with the characters of a terminal.
///
/// Seen from the roller's side: points are numbered as he counts them, 1 to 6, his home, at the
/// lower right, 24 at the upper right. Fifteen lines of at most 80 columns (code points, UTF-8),
/// each ended by a line feed, without colours and without a look at the surroundings. Thread-safe.
#pragma once

#include <optional>
#include <string>

#include "equity/cube.h"
#include "rules/position.h"

namespace sixfold {

/// A checker of the roller's, and one of the opponent's.
inline constexpr const char* kRollerChecker = "●";
inline constexpr const char* kOpponentChecker = "○";

/// Stacks of up to five are drawn whole; of a higher one four checkers and, at its tip, how many
/// there are. Checkers on the bar stand in the half in which they enter. Beside the board: whose
/// checkers are which, pips, checkers borne off, the roll if there is one, and the cube if there is
/// one, beside whom it belongs to.
[[nodiscard]] std::string board_text(const Position& position, const std::optional<Roll>& roll,
                                     const std::optional<Cube>& cube);

}  // namespace sixfold
