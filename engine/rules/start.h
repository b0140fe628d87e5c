/// The positions in which games begin.
#pragma once

#include "rules/position.h"

namespace sixfold {

/// The start of a game with `checkers` a side. 15: 24x2 13x5 8x3 6x5. 1 to 12: one checker on each
/// of the points 24, 23, 22, ... (for three the start of the game solved in Keith T., Hyper Fun,
/// 2018). Throws InputError for other numbers: with 13 or 14 the two sides would share points.
[[nodiscard]] Position start_position(int checkers = kMaxCheckers);

}  // namespace sixfold
