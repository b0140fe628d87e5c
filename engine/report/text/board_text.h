/// A position drawn with the characters of a terminal.
///
/// Seen from the roller's side: points are numbered as he counts them, 1 to 6, his home, at the
/// lower right, 24 at the upper right. A board of fifteen lines and two or three of notes below it,
/// of at most 80 columns (code points, UTF-8), each ended by a line feed, without a look at the
/// surroundings. Thread-safe.
#pragma once

#include <optional>
#include <string>

#include "equity/cube.h"
#include "report/text/style.h"
#include "rules/position.h"

namespace sixfold {

/// Stacks of up to five are drawn whole; of a higher one four checkers and, at its foot, how many
/// there are. Checkers on the bar stand in the half in which they enter, their foot at the middle.
/// Below the board: whose checkers are which, pips, checkers borne off, the cube with whom it
/// belongs to, the roll if there is one.
[[nodiscard]] std::string board_text(const Position& position, const std::optional<Roll>& roll,
                                     const std::optional<Cube>& cube, TextStyle style = {});

}  // namespace sixfold
