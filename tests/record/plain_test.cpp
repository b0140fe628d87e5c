#include "record/plain.h"

#include <catch2/catch.hpp>

#include "record/record_fixtures.h"

namespace sixfold {
namespace {

const std::string kHead = "player: Anna\nplayer: Anna B\n";

ReadMatch read_game(const std::string& lines) { return read_plain(kHead + "game 1\n" + lines); }

TEST_CASE("The notation's own example is read") {
  const ReadMatch read = read_plain(
      "# a match\nplayer: Anna\nplayer: Bert\nlength: 7\nevent: Open\ndate: 2026-11-28\n"
      "place: Ulm\nround: 2\n\ngame 1\nscore: 2 0\n; of both\n1 31: 8/5 6/5\n"
      "21: 13/10 ; a comment\n; and more\ndouble\ntake\n52: 13/8 13/11\n2 resigns gammon\n"
      "game 2\nBert 66: 24/18(2) 13/7(2)\n");
  for (const std::string& complaint : read.complaints) UNSCOPED_INFO(complaint);
  REQUIRE(read.complaints.empty());
  CHECK(read.notes.empty());
  const RecordedMatch& match = read.match;
  CHECK(match.players == std::array<std::string, 2>{"Anna", "Bert"});
  CHECK(match.length == 7);
  CHECK(match.event == "Open");
  CHECK(match.date == "2026-11-28");
  CHECK(match.place == "Ulm");
  CHECK(match.round == "2");
  REQUIRE(match.games.size() == 2);
  const RecordedGame& game = match.games[0];
  CHECK(game.score == std::array<int, 2>{2, 0});
  CHECK(game.comment == "of both");
  REQUIRE(game.turns.size() == 5);
  CHECK(shown_turn(game.turns[0]) == "31: 8/5 6/5");
  CHECK(game.turns[1].player == 1);
  CHECK(game.turns[1].comment == "a comment\nand more");
  CHECK(game.turns[4].cube_value == 2);
  CHECK(game.turns[4].cube_owner == RecordedOwner::kOpponents);
  CHECK(game.end == RecordedEnd{0, 4, true});
  CHECK(match.games[1].score == std::array<int, 2>{6, 0});
  CHECK(match.games[1].is_crawford);
  CHECK(match.games[1].turns[0].player == 1);
}

TEST_CASE("Players are told by number or name, the longer name first") {
  CHECK(read_game("anna b 31: 8/5 6/5\n").match.games[0].turns.at(0).player == 1);
  CHECK(read_game("Anna 31: 8/5 6/5\n").match.games[0].turns.at(0).player == 0);
  CHECK(read_game("2 31: 8/5 6/5\n").match.games[0].turns.at(0).player == 1);
}

TEST_CASE("Forced passes, crawford, jacoby, starts, cubes and results are read") {
  const ReadMatch read = read_game(
      "jacoby\nstart: 6x2 5x2 4x2 3x2 2x2 1x2 / bar 6\ncube: 4 2\n2 65:\n1 11: 2/1(2) 1/off(2)\n"
      "2 61: no play\nresult: 1 8\n");
  for (const std::string& complaint : read.complaints) UNSCOPED_INFO(complaint);
  REQUIRE(read.complaints.empty());
  const RecordedGame& game = read.match.games.at(0);
  CHECK(game.jacoby);
  CHECK(game.start_cube == 4);
  CHECK(game.start_cube_owner == 1);
  REQUIRE(game.turns.size() == 3);
  CHECK(game.end == RecordedEnd{0, 8, false});
  CHECK(any_contains(read.notes, "do not lead to its result"));
  const ReadMatch match = read_plain("length: 3\ngame 1\nscore: 2 0\ncrawford: no\n");
  CHECK(match.match.games.at(0).is_after_crawford);
  CHECK_FALSE(match.match.games[0].is_crawford);
}

TEST_CASE("Bad lines are complained about with their place") {
  const auto check = [](const std::string& lines, std::size_t turns, const std::string& expected) {
    INFO(lines);
    const ReadMatch read = read_game(lines);
    REQUIRE(read.match.games.size() == 1);
    CHECK(read.match.games[0].turns.size() == turns);
    REQUIRE(read.complaints.size() == 1);
    CHECK_THAT(read.complaints[0], Contains(expected));
  };
  check("1 31: 8/5 6/4\n21: 13/10\n", 0,
        "game 1, turn 1 (line 4): Anna's 31, play: '8/5 6/4' is not a legal play of 31; expected "
        "one of:");
  check("31: 8/5 6/5\n", 0, "who begins is not told");
  check("1 31: 8/5 6/5\n1 31: 8/5 6/5\n", 1, "turn 2 (line 5): Anna plays out of turn");
  check("1 31: 8/5 6/5\ntake\n21: 13/10\n", 2, "takes, but nobody has doubled; passed over");
  check("1 31: 8/5 6/5\ndouble\npass\n31: 8/5 6/5\n21: 13/10\n", 3, "after the end of the game");
  check("1 resigns single\ntake\n", 0, "takes after the end of the game");
  check("1 resigns all\n", 0, "'all' cannot be resigned");
  check("1 37: 8/5\n", 0, "'37' is not a roll");
  check("1 31: 8/5 6\n", 0, "Anna's 31, play '8/5 6', character 6: the text ends");
  check("1 hello\n", 0, "'hello' is not understood; expected a turn such as");
  check("1 31: 8/5 6/5\nscore: 1 0\n", 1, "score within the game");
  check("score: 1\n1 31: 8/5 6/5\n", 1, "line 4: '1' is no score");
  check("cube: 3\n1 31: 8/5 6/5\n", 0, "line 4: '3' is no cube; expected 1, 2, 4");
  check("cube: 2 3\n1 31: 8/5 6/5\n", 0, "is no cube");
  check("start: 6x16 / 1\n1 31: 8/5 6/5\n", 0, "more than 15 checkers");
  check("start: / 1\n1 31: 8/5 6/5\n", 0, "the game is over where it begins");
  check("result: 3 1\n", 0, "is no result");
}

TEST_CASE("Bad heads are complained about") {
  CHECK(
      any_contains(read_plain("length: x\ngame 1\n").complaints, "line 1: 'x' is no match length"));
  CHECK(
      any_contains(read_plain("hello\ngame 1\n").complaints, "line 1: 'hello' is not understood"));
  CHECK(any_contains(read_plain(kHead + "player: C\ngame 1\n").complaints, "line 3"));
  const ReadMatch over = read_plain("length: 1\ngame 1\n1 resigns single\ngame 2\n1 31: 8/5 6/5\n");
  CHECK(over.match.games.size() == 1);
  CHECK(over.complaints.size() == 1);
  CHECK(any_contains(over.complaints, "game 2: the match is over before it, at 0-1"));
}

TEST_CASE("Comments keep their lines and indents, but no empty lines at their ends") {
  const ReadMatch read = read_game(";\n; of all\n;\n1 31: 8/5 6/5 ;\n; a\n;\n;   b\n;\n");
  REQUIRE(read.complaints.empty());
  CHECK(read.match.games.at(0).comment == "of all");
  CHECK(read.match.games[0].turns.at(0).comment == "a\n\n  b");
  const ReadMatch broken = read_game("1 31: 8/5 6/5 ; good\n31: 24/1 ; bad\n; worse\n");
  CHECK(broken.match.games.at(0).turns.at(0).comment == "good");
}

TEST_CASE("Random changes of plain texts never crash") {
  std::mt19937_64 random(3);
  RandomMatches matches(4);
  constexpr std::string_view kBytes = "12:;/*# \ndoublegamresigns\xff";
  for (int i = 0; i < 300; ++i) {
    std::string text = plain_text(matches.draw()).substr(0, 3000);
    for (int change = 0; change < 5; ++change) {
      text[random() % text.size()] = kBytes[random() % kBytes.size()];
    }
    const ReadMatch read = read_plain(text);
    CHECK(read_plain(plain_text(read.match)).match == read.match);
  }
}

}  // namespace
}  // namespace sixfold
