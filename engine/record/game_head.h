/// What a record says of a game before its first turn, and what follows where it says nothing: the
/// score from the games before, the Crawford game from the score. Plain values; no shared state.
#pragma once

#include <array>
#include <optional>

#include "record/match.h"

namespace sixfold {

struct GameHead {
  std::optional<std::array<int, 2>> score;
  std::optional<bool> is_crawford;
  bool jacoby = false;
};

/// The next game of the match, without turns; nothing, with a complaint, once the match is over.
/// A score that the record tells counts, with a note where another follows; an impossible one is
/// complained about, and the one that follows counts.
[[nodiscard]] std::optional<RecordedGame> begin_game(ReadMatch& read, const GameHead& head);

}  // namespace sixfold
