/// A game on its way from a reader into a ReadMatch: what is refused becomes a complaint with its
/// place, and the rest of the game is left out. Shared by no two threads.
#pragma once

#include <functional>
#include <optional>
#include <string>

#include "record/match.h"
#include "record/replay.h"

namespace sixfold {

class GameIntake {
 public:
  /// `game` as begin_game() returns it, with its start. A start that is refused breaks the game.
  /// REQUIRES: `read` outlives this, and gets no other game meanwhile.
  GameIntake(ReadMatch& read, RecordedGame game);

  [[nodiscard]] const Replay& replay() const noexcept { return replay_; }
  /// The rest is left out.
  [[nodiscard]] bool is_broken() const noexcept { return is_broken_; }
  /// Runs `turn` unless the game is broken. What it throws becomes a complaint about the next turn
  /// and breaks the game. `place`: where in the file, such as "line 7".
  void take(const std::string& place, const std::function<void(Replay&)>& turn);
  /// The same for a double, take or pass; a take of nothing is complained about and passed over.
  void take_cube(const std::string& place, int player, TurnKind kind);
  void leave_out_rest() noexcept { is_broken_ = true; }
  /// As Replay::comment(); nothing where the game is broken: the turn that it is about is not
  /// there.
  void comment(const std::string& text) {
    if (!is_broken_) replay_.comment(text);
  }
  void note(const std::string& text);
  /// A complaint about the next turn.
  void complain(const std::string& place, const std::string& text);
  void complain_and_break(const std::string& place, const std::string& text);
  /// Hands the game over. One that is cut off (the text ends in it) has no told result, and is
  /// dropped where it has no turn.
  void finish(const std::optional<ToldResult>& told, bool is_cut_off);

 private:
  [[nodiscard]] std::string where() const;

  ReadMatch& read_;
  bool is_broken_ = false;
  Replay replay_;
};

}  // namespace sixfold
