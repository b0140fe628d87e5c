/// Recorded games and matches as values: who played, at what score, and what was done at each turn.
///
/// Players are numbered 0 and 1. A turn is seen by the player who takes it: his side comes first in
/// its position, and its cube is his, the other's or in the middle. Readers and writers:
/// record/read.h, record/sgf.h and record/plain.h. Plain values; safe to use from any thread.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "rules/plays.h"
#include "rules/position.h"
#include "rules/start.h"
#include "rules/types.h"

namespace sixfold {

enum class TurnKind : std::uint8_t { kPlay, kDouble, kTake, kPass };

/// Whose the cube is, as a turn's player sees it.
enum class RecordedOwner : std::uint8_t { kCentred, kOwn, kOpponents };

struct RecordedTurn {
  int player = 0;
  TurnKind kind = TurnKind::kPlay;
  /// Before the dice, the player's side first; of a take or a pass too (the other has doubled).
  Position position;
  Roll roll{};         ///< Of a play.
  PlayKey play{};      ///< The same: one of the roll's legal results.
  int cube_value = 1;  ///< Before the turn: of a take or a pass that before the double.
  RecordedOwner cube_owner = RecordedOwner::kCentred;
  std::string comment{};
  /// A double that answers a double, at money: its cube is as if that had been taken.
  bool is_beaver = false;
  friend bool operator==(const RecordedTurn&, const RecordedTurn&) = default;
};

/// How a game ended.
struct RecordedEnd {
  int winner = 0;
  int points = 1;  ///< The cube's value included.
  bool by_resignation = false;
  friend bool operator==(const RecordedEnd&, const RecordedEnd&) = default;
};

struct RecordedGame {
  std::array<int, 2> score{};  ///< Points before it, by player.
  bool is_crawford = false;    ///< It is the Crawford game: nobody may double.
  bool is_after_crawford = false;
  bool jacoby = false;                ///< At money.
  Position start = start_position();  ///< Player 0's side first; the usual one unless set up.
  std::vector<RecordedTurn> turns;
  /// Nothing where the record breaks off and tells no result.
  std::optional<RecordedEnd> end;
  std::string comment{};
  int start_cube = 1;                     ///< Other than 1 where a game is set up so.
  std::optional<int> start_cube_owner{};  ///< By player; nothing: in the middle.
  friend bool operator==(const RecordedGame&, const RecordedGame&) = default;
};

struct RecordedMatch {
  std::array<std::string, 2> players;
  int length = 0;  ///< Points that win it; 0: money.
  std::string event{};
  std::string date{};
  std::string place{};
  std::string round{};
  std::vector<RecordedGame> games;
  friend bool operator==(const RecordedMatch&, const RecordedMatch&) = default;
};

/// A record as far as it could be read.
struct ReadMatch {
  RecordedMatch match;
  /// What could not be: "game 2, turn 7: ...", with what was rolled and the legal plays.
  std::vector<std::string> complaints;
  std::vector<std::string> notes;  ///< What was passed over, such as variations.
};

}  // namespace sixfold
