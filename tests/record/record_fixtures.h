/// Matches and texts that several tests of records use.
#pragma once

#include <algorithm>
#include <catch2/catch.hpp>
#include <random>
#include <string>
#include <vector>

#include "base/input_error.h"
#include "oracles/random_positions.h"
#include "record/game_head.h"
#include "record/replay.h"
#include "rules/notation.h"

namespace sixfold {

using Catch::Matchers::Contains;

/// A complaint or note among several that holds a text.
inline bool any_contains(const std::vector<std::string>& lines, const std::string& text) {
  return std::any_of(lines.begin(), lines.end(),
                     [&](const std::string& line) { return line.find(text) != std::string::npos; });
}

/// A play of a turn as text.
inline std::string shown_turn(const RecordedTurn& turn) {
  return roll_text(turn.roll) + ": " + play_text(turn.position, turn.roll, turn.play);
}

/// Draws whole matches of legal turns.
class RandomMatches {
 public:
  explicit RandomMatches(unsigned seed) : random_(seed) {}

  /// At a match score or at money, some games set up, some broken off, with comments.
  RecordedMatch draw() {
    ReadMatch read;
    RecordedMatch& match = read.match;
    match.players = {chance(10) ? "" : "Zo\xc3\xab [the] 2nd: \\", "Bert; 1 #"};
    match.length = chance(30) ? 0 : 1 + below(7);
    if (chance(50)) match.event = "Open [A]";
    if (chance(50)) match.date = "2026-11-28";
    if (chance(50)) match.place = "K\xc3\xb6ln";
    if (chance(50)) match.round = "final: 1";
    const int games = 1 + below(4);
    while (static_cast<int>(match.games.size()) < games && draw_game(read)) {
    }
    return match;
  }

 private:
  int below(int end) { return static_cast<int>(random_() % static_cast<unsigned>(end)); }
  bool chance(int percent) { return below(100) < percent; }

  bool draw_game(ReadMatch& read) {
    const RecordedMatch& match = read.match;
    for (const RecordedGame& game : match.games) {
      if (!game.end) return false;
      const auto winner = static_cast<std::size_t>(game.end->winner);
      const int points = game.score[winner] + game.end->points;
      if (match.length > 0 && points >= match.length) return false;
    }
    GameHead head;
    head.jacoby = chance(50);
    auto game = begin_game(read, head);
    REQUIRE(game);
    if (chance(50)) game->start = oracle::random_position(random_, kMaxCheckers);
    if (chance(20)) {
      game->start_cube = 2;
      game->start_cube_owner = below(2);
    }
    if (chance(20)) game->comment = "two\nlines";
    Replay replay(*game, match.players, match.length > 0);
    replay.begin(below(2));
    const int turns = chance(30) ? 10'000 : 40;  // Some to the end, some broken off.
    for (int turn = 0; turn < turns && !replay.is_over(); ++turn) draw_turn(replay);
    read.match.games.push_back(replay.game());
    return true;
  }

  void draw_turn(Replay& replay) {
    const int player = replay.next().value();
    if (chance(1)) return replay.resign(below(2), 1 + below(3));
    if (replay.is_doubled() && !chance(25)) {
      return replay.turn_cube(player, chance(80) ? TurnKind::kTake : TurnKind::kPass);
    }
    if (chance(5) || replay.is_doubled()) {
      try {
        return replay.turn_cube(player, TurnKind::kDouble);
      } catch (const InputError&) {  // Not his, or no beavers.
        if (replay.is_doubled()) return replay.turn_cube(player, TurnKind::kTake);
      }
    }
    const Roll roll = make_roll(1 + below(6), 1 + below(6));
    PlayList plays;
    generate_plays(replay.position(player), roll, plays);
    replay.play(player, roll, plays[random_() % plays.size()]);
    if (chance(10)) replay.comment(chance(50) ? "a ] b \\ c: ; d" : "first\n\n  third");
  }

  std::mt19937_64 random_;
};

}  // namespace sixfold
