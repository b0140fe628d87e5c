/// Recorded matches in plain text, our own notation: one turn a line.
///
///     player: Anna              first player; the second line of this kind names the second
///     player: Bert
///     length: 7                 none: money; also event:, date:, place:, round:
///     game 1
///     score: 2 0                before the game; none: what follows from the games before
///     crawford                  or crawford: no; none: what follows from the score
///     1 31: 8/5 6/5             the first line tells who begins, by number or by name
///     62: 24/18 13/11 ; a comment
///     double
///     take
///     65:                       nothing can be played; "no play" as well
///     2 resigns gammon          single, gammon or backgammon
///
/// Lines beginning with '#' are left out; one beginning with ';' goes on with the comment of the
/// turn before, or is the game's. Before a game's turns: `jacoby`; `start: POSITION`, the first
/// player's side first; `cube: 2 1`, the cube at 2 with player 1. `result: 1 4`, player 1 wins 4
/// points, ends a game that its turns do not. Pure functions; thread-safe.
#pragma once

#include <string>
#include <string_view>

#include "record/match.h"

namespace sixfold {

/// Reads as far as it can and never throws for what the text holds; what is no UTF-8 is replaced.
[[nodiscard]] ReadMatch read_plain(std::string_view text);

/// Line ends within names become blanks. REQUIRES: games of 15 checkers a side, as Replay would
/// have them.
[[nodiscard]] std::string plain_text(const RecordedMatch& match);

}  // namespace sixfold
