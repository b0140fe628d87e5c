/// A recorded game gone through turn by turn: whose turn it is, where the cube is, how it ends.
///
/// Readers feed it what they read. It refuses what the rules do not allow by InputError, and is
/// then as it was before; it fills in the positions and the cube of every turn. Shared by no two
/// threads.
#pragma once

#include <array>
#include <optional>
#include <string>

#include "record/match.h"

namespace sixfold {

/// Nothing is played so high, and points stay far from an int's end.
inline constexpr int kMaxCubeValue = 1 << 20;
inline constexpr const char* kCubeForm = "1, 2, 4, ... up to 1048576";
[[nodiscard]] bool is_cube_value(int value) noexcept;

/// The player's name, or "player 1" and "player 2" where there is none.
[[nodiscard]] std::string player_text(const std::array<std::string, 2>& players, int player);

/// A result as a record tells it, without the turns that lead to it.
struct ToldResult {
  int winner = 0;
  std::optional<int> points;  ///< Nothing: a single game at the cube's value.
  bool by_resignation = false;
};

class Replay {
 public:
  /// `game` has its score, start and cube, and no turns. Throws InputError for a start that is
  /// impossible or over, and for an impossible cube. `is_match`: beavers are not allowed.
  Replay(RecordedGame game, std::array<std::string, 2> players, bool is_match);

  [[nodiscard]] const RecordedGame& game() const noexcept { return game_; }
  [[nodiscard]] bool is_over() const noexcept { return game_.end.has_value(); }
  /// Whose turn it is; nothing after the end, nor before the first turn unless begin() said it.
  [[nodiscard]] std::optional<int> next() const noexcept { return next_; }
  /// A double waits for its answer.
  [[nodiscard]] bool is_doubled() const noexcept { return holder_.has_value(); }
  [[nodiscard]] int cube_value() const noexcept { return cube_value_; }
  /// The board, the player's side first.
  [[nodiscard]] Position position(int player) const noexcept;

  /// The player has the first turn. REQUIRES: no turn yet.
  void begin(int player);
  /// Throws InputError unless the player may now do this.
  void require(int player, TurnKind kind) const;
  /// Throws for illegal plays, too, and names the legal ones.
  void play(int player, Roll roll, PlayKey play);
  /// REQUIRES: not kPlay.
  void turn_cube(int player, TurnKind kind);
  /// The player gives up, at any time; `size`: 1 single, 2 gammon, 3 backgammon.
  void resign(int player, int size);
  /// Takes a told result for the end of a game that its turns do not end. Throws InputError where
  /// it cannot be, or is not the one that the turns lead to, which then stays. `is_broken`: turns
  /// were left out, so that the cube is not known.
  void settle(const ToldResult& told, bool is_broken);
  /// Adds a line to the comment of the last turn, or of the game before the first.
  void comment(const std::string& text);

 private:
  void add(int player, TurnKind kind);
  void require_double(int player) const;
  void finish(int winner, int size, bool by_resignation);
  [[nodiscard]] bool is_single_only() const noexcept { return game_.jacoby && !owner_; }
  [[nodiscard]] std::string name(int player) const { return player_text(players_, player); }

  RecordedGame game_;
  std::array<std::string, 2> players_;
  bool is_match_;
  Position board_;  ///< Player 0's side first.
  int cube_value_;
  std::optional<int> owner_;
  std::optional<int> next_;
  /// While a double is not answered: who was doubled first, and will hold the cube.
  std::optional<int> holder_;
};

}  // namespace sixfold
