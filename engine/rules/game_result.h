/// How a finished game ended, and which outcomes a position can still lead to.
#pragma once

#include <optional>

#include "rules/position.h"
#include "rules/types.h"

namespace sixfold {

/// The outcome of a finished game from the viewpoint of the side on roll; nothing while both sides
/// have checkers left. Gammon: the loser has borne off none. Backgammon: besides, the loser has a
/// checker on the bar or in the winner's home board.
[[nodiscard]] std::optional<Outcome> game_result(const Position& position) noexcept;

/// Bit i is set when outcome i (in the order of Outcome) is not excluded by these rules: a side
/// that has borne off a checker cannot lose a gammon; in a race, a side that has left the other's
/// home board cannot lose a backgammon; a finished game has its outcome. For games of one checker a
/// side a winner has borne off all, the loser none, so every loss is a gammon at least.
[[nodiscard]] unsigned possible_outcomes(const Position& position) noexcept;

}  // namespace sixfold
