#include "record/game_intake.h"

#include <utility>

#include "base/input_error.h"
#include "record/texts.h"

namespace sixfold {
namespace {

/// The game where its start is possible, else the usual start with the complaint.
Replay replay_of(ReadMatch& read, RecordedGame game, bool& is_broken) {
  const bool is_match = read.match.length > 0;
  try {
    return Replay(game, read.match.players, is_match);
  } catch (const InputError& error) {
    read.complaints.push_back("game " + std::to_string(read.match.games.size() + 1) +
                              ", its start: " + error.what() + "; its turns are left out");
    is_broken = true;
    game.start = start_position();
    game.start_cube = 1;
    return Replay(std::move(game), read.match.players, is_match);
  }
}

/// Comments come line by line, so that empty lines may be left at their ends.
RecordedGame with_clean_comments(RecordedGame game) {
  game.comment = clean_lines(game.comment);
  for (RecordedTurn& turn : game.turns) turn.comment = clean_lines(turn.comment);
  return game;
}

}  // namespace

GameIntake::GameIntake(ReadMatch& read, RecordedGame game)
    : read_(read), replay_(replay_of(read, std::move(game), is_broken_)) {}

std::string GameIntake::where() const {
  return "game " + std::to_string(read_.match.games.size() + 1);
}

void GameIntake::note(const std::string& text) { read_.notes.push_back(where() + ": " + text); }

void GameIntake::complain(const std::string& place, const std::string& text) {
  const std::size_t turn = replay_.game().turns.size() + 1;
  read_.complaints.push_back(where() + ", turn " + std::to_string(turn) + " (" + place +
                             "): " + text);
}

void GameIntake::complain_and_break(const std::string& place, const std::string& text) {
  complain(place, text + "; the rest of the game is left out");
  is_broken_ = true;
}

void GameIntake::take(const std::string& place, const std::function<void(Replay&)>& turn) {
  if (is_broken_) return;
  try {
    turn(replay_);
  } catch (const InputError& error) {
    complain_and_break(place, error.what());
  }
}

void GameIntake::take_cube(const std::string& place, int player, TurnKind kind) {
  if (is_broken_) return;
  if (kind == TurnKind::kTake && !replay_.is_over() && !replay_.is_doubled()) {
    complain(place, player_text(read_.match.players, player) +
                        " takes, but nobody has doubled; passed over");
    return;
  }
  take(place, [&](Replay& replay) { replay.turn_cube(player, kind); });
}

void GameIntake::finish(const std::optional<ToldResult>& told, bool is_cut_off) {
  if (is_cut_off && replay_.game().turns.empty()) return;
  if (told && (replay_.is_over() || !is_cut_off)) {
    const bool was_over = replay_.is_over();
    try {
      replay_.settle(*told, is_broken_);
      if (!was_over && !replay_.game().end->by_resignation) {
        note("its turns do not lead to its result, " +
             player_text(read_.match.players, told->winner) + " winning " +
             std::to_string(replay_.game().end->points));
      }
    } catch (const InputError& error) {
      read_.complaints.push_back(where() + ", its result: " + error.what());
    }
  }
  read_.match.games.push_back(with_clean_comments(replay_.game()));
}

}  // namespace sixfold
