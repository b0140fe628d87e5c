#include <array>
#include <utility>

#include "base/text_reader.h"
#include "record/plain.h"
#include "record/replay.h"
#include "record/texts.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

std::string line_text(const char* key, const std::string& value) {
  const std::string line = one_line(value);
  return line.empty() ? "" : std::string(key) + ": " + line + "\n";
}

/// "; text" and, for further lines, lines of their own.
std::string comment_text(const std::string& comment) {
  std::string text = "; ";
  for (const char c : comment) text += c == '\n' ? std::string("\n; ") : std::string(1, c);
  return text;
}

std::string number_text(int player) { return std::to_string(player + 1); }

std::string turn_text(const RecordedTurn& turn) {
  switch (turn.kind) {
    case TurnKind::kPlay: {
      const std::string play = play_text(turn.position, turn.roll, turn.play);
      return roll_text(turn.roll) + ":" + (play == "no play" ? "" : " " + play);
    }
    case TurnKind::kDouble:
      return "double";
    case TurnKind::kTake:
      return "take";
    case TurnKind::kPass:
      return "pass";
  }
  return "";
}

/// What its turns do not say of the end: a resignation or a result.
std::string end_text(const RecordedMatch& match, const RecordedGame& game) {
  if (!game.end) return "";
  RecordedGame start = game;
  start.turns.clear();
  start.end.reset();
  Replay replay(start, match.players, match.length > 0);
  if (!game.turns.empty()) replay.begin(game.turns.front().player);
  for (const RecordedTurn& turn : game.turns) {
    if (turn.kind == TurnKind::kPlay) {
      replay.play(turn.player, turn.roll, turn.play);
    } else {
      replay.turn_cube(turn.player, turn.kind);
    }
  }
  if (replay.is_over()) return "";
  const RecordedEnd& end = *game.end;
  if (!end.by_resignation) {
    return "result: " + number_text(end.winner) + " " + std::to_string(end.points) + "\n";
  }
  constexpr std::array<const char*, 3> kSizes{"single", "gammon", "backgammon"};
  const int size = std::max(1, std::min(3, end.points / replay.cube_value()));
  return number_text(1 - end.winner) + " resigns " + kSizes[static_cast<std::size_t>(size - 1)] +
         "\n";
}

std::string head_text(const RecordedMatch& match, std::size_t number) {
  const RecordedGame& game = match.games[number];
  std::string text = "\ngame " + std::to_string(number + 1) + "\n";
  text += "score: " + std::to_string(game.score[0]) + " " + std::to_string(game.score[1]) + "\n";
  if (game.is_crawford) text += "crawford\n";
  if (game.is_after_crawford) text += "crawford: no\n";
  if (game.jacoby) text += "jacoby\n";
  if (game.start != start_position()) text += "start: " + position_text(game.start) + "\n";
  if (game.start_cube != 1 || game.start_cube_owner) {
    text += "cube: " + std::to_string(game.start_cube);
    if (game.start_cube_owner) text += " " + number_text(*game.start_cube_owner);
    text += "\n";
  }
  if (!game.comment.empty()) text += comment_text(game.comment) + "\n";
  return text;
}

}  // namespace

std::string plain_text(const RecordedMatch& match) {
  std::string text;
  for (const std::string& player : match.players) text += "player: " + one_line(player) + "\n";
  if (match.length > 0) text += "length: " + std::to_string(match.length) + "\n";
  text += line_text("event", match.event) + line_text("date", match.date) +
          line_text("place", match.place) + line_text("round", match.round);
  for (std::size_t number = 0; number < match.games.size(); ++number) {
    const RecordedGame& game = match.games[number];
    text += head_text(match, number);
    for (const RecordedTurn& turn : game.turns) {
      if (&turn == &game.turns.front()) text += number_text(turn.player) + " ";
      text += turn_text(turn);
      if (!turn.comment.empty()) text += " " + comment_text(turn.comment);
      text += "\n";
    }
    text += end_text(match, game);
  }
  return text;
}

}  // namespace sixfold
