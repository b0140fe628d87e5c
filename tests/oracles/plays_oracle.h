/// The rules of the game written a second time, as plainly as possible, to test the real ones.
///
/// Nothing here shares code with the play generator: boards are plain arrays of counts, and every
/// order of the dice is tried with every checker. Slow by design; safe to use from any thread.
#pragma once

#include <optional>
#include <vector>

#include "rules/position.h"
#include "rules/types.h"

namespace sixfold::oracle {

/// Every distinct position a legal play of the roll leads to, the next player on roll, in a fixed
/// order. Without a legal play, or when the game is already over, the only entry is the position
/// with the sides exchanged.
[[nodiscard]] std::vector<Position> results(const Position& position, Roll roll);

/// The outcome of a finished game from the viewpoint of the side on roll; nothing while both sides
/// have checkers left to bear off. REQUIRES: not both sides all off.
[[nodiscard]] std::optional<Outcome> outcome(const Position& position);

}  // namespace sixfold::oracle
