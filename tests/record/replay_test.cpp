#include "record/replay.h"

#include <catch2/catch.hpp>

#include "record/record_fixtures.h"
#include "rules/error_checks.h"

namespace sixfold {
namespace {

Replay replay_from(const char* start, bool jacoby = false, bool is_match = false) {
  RecordedGame game;
  game.start = parse_position(start);
  game.jacoby = jacoby;
  return Replay(game, {"Anna", ""}, is_match);
}

void play(Replay& replay, int player, const char* roll, const char* text) {
  const Roll dice = parse_roll(roll);
  replay.play(player, dice, parse_play(replay.position(player), dice, text));
}

TEST_CASE("Positions of turns are those of a line of plays") {
  Replay replay(RecordedGame{}, {"Anna", "Bert"}, true);
  play(replay, 1, "31", "8/5 6/5");
  play(replay, 0, "64", "24/14");
  replay.turn_cube(1, TurnKind::kDouble);
  replay.turn_cube(0, TurnKind::kTake);
  CHECK(replay.next() == 1);
  play(replay, 1, "21", "13/10");
  const auto& turns = replay.game().turns;
  REQUIRE(turns.size() == 5);
  CHECK(turns[0].position == start_position());
  CHECK(turns[1].position == parse_line("31: 8/5 6/5"));
  CHECK(turns[2].position == parse_line("31: 8/5 6/5, 64: 24/14"));
  CHECK(turns[3].position == swapped(turns[2].position));
  CHECK(turns[3].cube_value == 1);
  CHECK(turns[4].position == turns[2].position);
  CHECK(turns[4].cube_value == 2);
  CHECK(turns[4].cube_owner == RecordedOwner::kOpponents);
  CHECK(replay.position(0) == parse_line("31: 8/5 6/5, 64: 24/14, 21: 13/10"));
}

TEST_CASE("Games are won singly, with gammon and with backgammon, times the cube") {
  struct End {
    const char* start;
    int size;
  };
  for (const End& end : {End{"2 / 6", 1}, End{"2 / 6x15", 2}, End{"2 / 24 6x14", 3}}) {
    for (const bool is_doubled : {false, true}) {
      Replay replay = replay_from(end.start);
      if (is_doubled) {
        replay.turn_cube(0, TurnKind::kDouble);
        replay.turn_cube(1, TurnKind::kTake);
      }
      play(replay, 0, "21", "2/off");
      CHECK(replay.game().end == RecordedEnd{0, end.size * (is_doubled ? 2 : 1), false});
    }
  }
}

TEST_CASE("By the Jacoby rule gammons count once the cube has been turned") {
  Replay still = replay_from("2 / 24 6x14", true);
  play(still, 0, "21", "2/off");
  CHECK(still.game().end->points == 1);
  Replay turned = replay_from("2 / 24 6x14", true);
  turned.turn_cube(0, TurnKind::kDouble);
  turned.turn_cube(1, TurnKind::kTake);
  play(turned, 0, "21", "2/off");
  CHECK(turned.game().end->points == 6);
  Replay resigned = replay_from("2 / 6x15", true);
  resigned.resign(1, 2);
  CHECK(resigned.game().end == RecordedEnd{0, 1, true});
}

TEST_CASE("The second player may win, and passes cost the cube's value") {
  Replay off = replay_from("6x15 / 2");
  play(off, 1, "21", "2/off");
  CHECK(off.game().end == RecordedEnd{1, 2, false});
  Replay passed = replay_from("6 / 6");
  passed.turn_cube(0, TurnKind::kDouble);
  passed.turn_cube(1, TurnKind::kDouble);  // A beaver: the pass costs what was taken, 2.
  passed.turn_cube(0, TurnKind::kPass);
  CHECK(passed.game().end == RecordedEnd{1, 2, false});
}

TEST_CASE("What is refused leaves the replay as it was") {
  Replay replay = replay_from("6x2 / 6x2");
  play(replay, 0, "21", "6/3");
  const RecordedGame before = replay.game();
  check_error(error_of([&] { play(replay, 0, "21", "6/3"); }), "Anna plays out of turn", "",
              "a turn of player 2");
  check_error(error_of([&] { replay.turn_cube(1, TurnKind::kPass); }), "nobody has doubled", "",
              "");
  check_error(error_of([&] { replay.play(1, parse_roll("21"), PlayKey(Packed128{1})); }),
              "player 2 plays 21 illegally", "", "one of: 6/4 6/5, 6/3");
  CHECK(replay.game() == before);
  CHECK(replay.next() == 1);
}

TEST_CASE("The cube has an upper end") {
  RecordedGame game;
  game.start_cube = kMaxCubeValue;
  Replay replay(game, {}, false);
  CHECK_THROWS_AS(replay.turn_cube(0, TurnKind::kDouble), InputError);
  for (const int value : {0, -1, 3, 6, 2 * kMaxCubeValue}) CHECK_FALSE(is_cube_value(value));
  for (const int value : {1, 2, 64, kMaxCubeValue}) CHECK(is_cube_value(value));
}

TEST_CASE("The Crawford game is the first at which one player is a point away") {
  ReadMatch read;
  read.match.length = 3;
  const auto add = [&](int winner, int points) {
    auto game = begin_game(read, {});
    REQUIRE(game);
    game->end = RecordedEnd{winner, points, true};
    read.match.games.push_back(*game);
    return read.match.games.back();
  };
  CHECK_FALSE(add(0, 2).is_crawford);
  CHECK(add(1, 1).is_crawford);
  const RecordedGame third = add(1, 1);
  CHECK_FALSE(third.is_crawford);
  CHECK(third.is_after_crawford);
  const RecordedGame last = add(0, 1);
  CHECK(last.score == std::array<int, 2>{2, 2});
  CHECK(last.is_after_crawford);
  CHECK_FALSE(begin_game(read, {}));
  CHECK(read.complaints.size() == 1);
}

}  // namespace
}  // namespace sixfold
