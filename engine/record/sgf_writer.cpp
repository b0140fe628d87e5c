#include "record/sgf.h"
#include "record/sgf_points.h"
#include "record/sgf_tree.h"

namespace sixfold {
namespace {

const char* color_of(int player) { return player == 0 ? "W" : "B"; }

std::string property_text(const char* name, const std::string& value) {
  return std::string(name) + "[" + with_escapes(value) + "]";
}

/// Nothing for an empty value.
std::string optional_text(const char* name, const std::string& value) {
  return value.empty() ? "" : property_text(name, value);
}

/// The usual start emptied, then every checker on the board.
std::string checkers_text(const Position& start) {
  const Position usual = start_position();
  std::string text = "AE";
  for (int point = 1; point <= kPoints; ++point) {
    if (usual.roller[point] > 0 || usual.opponent[mirrored(point)] > 0) {
      text += std::string("[") + sgf_letter(point, 0) + "]";
    }
  }
  for (int player = 0; player < 2; ++player) {
    const Side& side = player == 0 ? start.roller : start.opponent;
    text += player == 0 ? "AW" : "AB";
    for (int location = 1; location <= kBar; ++location) {
      for (int i = 0; i < side[location]; ++i) {
        text += std::string("[") + sgf_letter(location, player) + "]";
      }
    }
  }
  return text;
}

std::string setup_text(const RecordedGame& game) {
  std::string text;
  const bool is_set_up = game.start != start_position();
  if (is_set_up) text += checkers_text(game.start);
  if (game.start_cube != 1) text += "CV[" + std::to_string(game.start_cube) + "]";
  if (game.start_cube_owner) {
    text += std::string("CP[") + (*game.start_cube_owner == 0 ? "w" : "b") + "]";
  }
  if (is_set_up && !game.turns.empty()) {
    text += std::string("PL[") + color_of(game.turns.front().player) + "]";
  }
  return text.empty() ? text : text + "\n";
}

std::string rules_text(const RecordedMatch& match, const RecordedGame& game) {
  if (match.length == 0) return game.jacoby ? "RU[Jacoby]" : "";
  return game.is_crawford ? "RU[Crawford:CrawfordGame]" : "RU[Crawford]";
}

std::string turn_text(const RecordedTurn& turn) {
  std::string text = std::string(";") + color_of(turn.player) + "[";
  switch (turn.kind) {
    case TurnKind::kPlay:
      text += std::to_string(turn.roll.high) + std::to_string(turn.roll.low) +
              sgf_pairs(turn.position, turn.roll, turn.play, turn.player);
      break;
    case TurnKind::kDouble:
      text += "double";
      break;
    case TurnKind::kTake:
      text += "take";
      break;
    case TurnKind::kPass:
      text += "drop";
      break;
  }
  return text + "]" + optional_text("C", turn.comment) + "\n";
}

std::string root_text(const RecordedMatch& match, std::size_t number) {
  const RecordedGame& game = match.games[number];
  std::string text = "(;FF[4]GM[6]CA[UTF-8]\n";
  text += property_text("PW", match.players[0]) + property_text("PB", match.players[1]);
  text += optional_text("EV", match.event) + optional_text("DT", match.date);
  text += optional_text("PC", match.place) + optional_text("RO", match.round) + "\n";
  text += "MI[length:" + std::to_string(match.length) + "][game:" + std::to_string(number + 1) +
          "][ws:" + std::to_string(game.score[0]) + "][bs:" + std::to_string(game.score[1]) + "]";
  text += rules_text(match, game);
  if (game.end) {
    text += std::string("RE[") + color_of(game.end->winner) + "+" +
            std::to_string(game.end->points) + (game.end->by_resignation ? "R]" : "]");
  }
  return text + "\n" + setup_text(game) + optional_text("C", game.comment) + "\n";
}

}  // namespace

std::string sgf_text(const RecordedMatch& match) {
  std::string text;
  for (std::size_t number = 0; number < match.games.size(); ++number) {
    text += root_text(match, number);
    for (const RecordedTurn& turn : match.games[number].turns) text += turn_text(turn);
    text += ")\n";
  }
  return text;
}

}  // namespace sixfold
