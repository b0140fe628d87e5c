/// Recorded matches in SGF, the open standard: a sequence of trees, one a game.
///
/// Player 0 is White (PW), player 1 Black (PB). Source: SGF FF[4], the Smart Game Format's general
/// page, and its page on backgammon, GM[6]. Pure functions; thread-safe.
#pragma once

#include <string>
#include <string_view>

#include "record/match.h"

namespace sixfold {

/// Reads as far as it can and never throws for what the text holds. Unknown properties are skipped,
/// variations passed over with a note; games of another kind, of other players or of another length
/// than the first game's are left out with a complaint. Without GM a game is taken for backgammon.
/// Without CA a text is Latin-1 unless it begins with a byte order mark; CA holds for the trees
/// behind it that have none. Without AE set-up begins with an empty board, with it at the usual
/// start; checkers not on the board are borne off.
[[nodiscard]] ReadMatch read_sgf(std::string_view text);

/// In UTF-8; nothing for a match without games. REQUIRES: games of 15 checkers a side, as Replay
/// would have them.
[[nodiscard]] std::string sgf_text(const RecordedMatch& match);

}  // namespace sixfold
