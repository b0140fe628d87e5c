#include "record/replay.h"

#include <bit>
#include <cassert>
#include <utility>

#include "base/input_error.h"
#include "rules/game_result.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

const char* kind_text(TurnKind kind) {
  switch (kind) {
    case TurnKind::kPlay:
      return "plays";
    case TurnKind::kDouble:
      return "doubles";
    case TurnKind::kTake:
      return "takes";
    case TurnKind::kPass:
      return "passes";
  }
  return "";
}

}  // namespace

bool is_cube_value(int value) noexcept {
  return value >= 1 && value <= kMaxCubeValue && std::has_single_bit(static_cast<unsigned>(value));
}

std::string player_text(const std::array<std::string, 2>& players, int player) {
  const std::string& name = players[static_cast<std::size_t>(player)];
  return name.empty() ? "player " + std::to_string(player + 1) : name;
}

Replay::Replay(RecordedGame game, std::array<std::string, 2> players, bool is_match)
    : game_(std::move(game)),
      players_(std::move(players)),
      is_match_(is_match),
      board_(game_.start),
      cube_value_(game_.start_cube),
      owner_(game_.start_cube_owner) {
  assert(game_.turns.empty() && !game_.end);
  require_possible(board_);
  if (game_over(board_)) {
    throw InputError("the game is over where it begins", "", "checkers of both sides on the board");
  }
  if (!is_cube_value(cube_value_)) {
    throw InputError("a cube of " + std::to_string(cube_value_), "", kCubeForm);
  }
}

Position Replay::position(int player) const noexcept {
  return player == 0 ? board_ : swapped(board_);
}

void Replay::begin(int player) {
  assert(game_.turns.empty());
  next_ = player;
}

void Replay::require(int player, TurnKind kind) const {
  const std::string what = name(player) + " " + kind_text(kind);
  if (is_over()) throw InputError(what + " after the end of the game", "", "");
  const bool is_answer = kind == TurnKind::kTake || kind == TurnKind::kPass;
  if (is_answer && !holder_) throw InputError(what + ", but nobody has doubled", "", "");
  if (next_ && *next_ != player) {
    throw InputError(what + " out of turn", "", "a turn of " + name(*next_));
  }
  if (kind == TurnKind::kPlay && holder_) {
    throw InputError(what + " before the double is answered", "", "double, take or pass");
  }
  if (kind == TurnKind::kDouble) require_double(player);
}

void Replay::require_double(int player) const {
  const std::string what = name(player) + " doubles";
  if (game_.is_crawford) throw InputError(what + " in the Crawford game", "", "no cube");
  if (holder_ && is_match_) {
    throw InputError(what + " in answer to a double", "", "take or pass: beavers are for money");
  }
  if (!holder_ && owner_ && *owner_ != player) {
    throw InputError(what + ", but the cube is " + name(*owner_) + "'s", "", "a roll");
  }
  const int factor = holder_ ? 4 : 2;
  if (cube_value_ > kMaxCubeValue / factor) {
    throw InputError(what + " beyond " + std::to_string(kMaxCubeValue), "", kCubeForm);
  }
}

void Replay::add(int player, TurnKind kind) {
  RecordedTurn turn;
  turn.player = player;
  turn.kind = kind;
  turn.position = position(player);
  turn.cube_value = cube_value_;
  if (owner_) {
    turn.cube_owner = *owner_ == player ? RecordedOwner::kOwn : RecordedOwner::kOpponents;
  }
  game_.turns.push_back(std::move(turn));
  next_ = 1 - player;
}

void Replay::play(int player, Roll roll, PlayKey play) {
  require(player, TurnKind::kPlay);
  const Position before = position(player);
  PlayList plays;
  generate_plays(before, roll, plays);
  if (!plays.contains(play)) {
    throw InputError(name(player) + " plays " + roll_text(roll) + " illegally", "",
                     "one of: " + plays_text(before, roll, plays));
  }
  add(player, TurnKind::kPlay);
  game_.turns.back().roll = roll;
  game_.turns.back().play = play;
  const Position after = position_after(before, play);  // Seen by the other player.
  board_ = player == 0 ? swapped(after) : after;
  if (const auto result = game_result(after)) {
    finish(player, static_cast<int>(reversed(*result)) - 2, false);
  }
}

void Replay::turn_cube(int player, TurnKind kind) {
  assert(kind != TurnKind::kPlay);
  require(player, kind);
  const bool is_beaver = kind == TurnKind::kDouble && holder_;
  if (is_beaver) {
    cube_value_ *= 2;
    owner_ = holder_;
  }
  add(player, kind);
  game_.turns.back().is_beaver = is_beaver;
  if (kind == TurnKind::kDouble) {
    if (!holder_) holder_ = 1 - player;
  } else if (kind == TurnKind::kTake) {
    cube_value_ *= 2;
    owner_ = holder_;
    next_ = 1 - *holder_;  // Whoever doubled first has the roll.
    holder_.reset();
  } else {
    finish(1 - player, 1, false);
  }
}

void Replay::resign(int player, int size) {
  assert(1 <= size && size <= 3);
  if (is_over()) throw InputError(name(player) + " resigns after the end of the game", "", "");
  finish(1 - player, size, true);
}

void Replay::finish(int winner, int size, bool by_resignation) {
  game_.end = RecordedEnd{winner, cube_value_ * (is_single_only() ? 1 : size), by_resignation};
  next_.reset();
  holder_.reset();
}

void Replay::settle(const ToldResult& told, bool is_broken) {
  const int points = told.points.value_or(cube_value_);
  const std::string what = name(told.winner) + " is said to win " + std::to_string(points);
  if (game_.end) {
    if (game_.end->winner == told.winner && game_.end->points == points) return;
    throw InputError(what, "",
                     name(game_.end->winner) + " winning " + std::to_string(game_.end->points));
  }
  if (points < 1 || points > 3 * kMaxCubeValue) throw InputError(what, "", "at least 1 point");
  const int most = is_single_only() ? 1 : 3;
  if (told.by_resignation && !is_broken &&
      (points % cube_value_ != 0 || points / cube_value_ > most)) {
    throw InputError(what + " with the cube at " + std::to_string(cube_value_), "",
                     "the cube's value times 1 to " + std::to_string(most));
  }
  game_.end = RecordedEnd{told.winner, points, told.by_resignation && !is_broken};
  next_.reset();
  holder_.reset();
}

void Replay::comment(const std::string& text) {
  std::string& comment = game_.turns.empty() ? game_.comment : game_.turns.back().comment;
  if (!comment.empty()) comment += '\n';
  comment += text;
}

}  // namespace sixfold
