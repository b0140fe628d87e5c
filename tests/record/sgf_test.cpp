/// Source of the forms: SGF FF[4], the Smart Game Format's general page, and its page on
/// backgammon, GM[6].
#include "record/sgf.h"

#include <catch2/catch.hpp>

#include "record/record_fixtures.h"

namespace sixfold {
namespace {

/// The only turn of a game of one turn, from a position (player 0's side first) or the start.
RecordedTurn only_turn(const std::string& root, const std::string& move) {
  const ReadMatch read = read_sgf("(;FF[4]GM[6]" + root + ";" + move + ")");
  for (const std::string& complaint : read.complaints) UNSCOPED_INFO(complaint);
  REQUIRE(read.complaints.empty());
  REQUIRE(read.match.games.size() == 1);
  REQUIRE(read.match.games[0].turns.size() == 1);
  return read.match.games[0].turns[0];
}

std::string only_play(const std::string& root, const std::string& move) {
  return shown_turn(only_turn(root, move));
}

const std::string kFourLeft = "AW[f][e][d][c]AB[x][x]";
TEST_CASE("The standard's forms of a move are read") {
  CHECK(only_play("", "W[31hefe]") == "31: 8/5 6/5");
  CHECK(only_play("", "B[31qtst]") == "31: 8/5 6/5");
  CHECK(only_play(kFourLeft, "W[66fzezdzcz]") == "66: 6/off 5/off 4/off 3/off");
  // Black enters on his 18, White's 7, and cannot play the one: White holds Black's 24 and 17.
  const std::string enters = "AW[a][a][h][h]AB[y]";
  CHECK(only_play(enters, "B[61yg]") == "61: bar/18");
  const std::string closed = "AW[a][a][b][b][c][c][d][d][e][e][f][f][g][g]AB[y]";
  CHECK(only_play(closed, "B[66]") == "66: no play");
  CHECK(only_turn(closed, "B[66]").player == 1);
}

TEST_CASE("Pairs are read in any order and with steps joined or single") {
  for (const char* move : {"W[31hefe]", "W[31fehe]", "W[13hefe]"}) {
    CHECK(only_play("", move) == "31: 8/5 6/5");
  }
  for (const char* move : {"W[64xn]", "W[64xrrn]", "W[64xttn]", "W[64tnxt]"}) {
    CHECK(only_play("", move) == "64: 24/14");
  }
  for (const char* move : {"W[11hghgfefe]", "W[11fehgfehg]"}) {
    CHECK(only_play("", move) == "11: 8/7(2) 6/5(2)");
  }
}

TEST_CASE("Which way a joined play hits is told by its stops") {
  // White from his 24; Black has blots on White's 20 and 18 (t and r).
  const std::string both = "AW[x][a]AB[t][r][b]";
  CHECK(only_play(both, "W[64xrrn]") == "64: 24/18*/14");
  CHECK(only_play(both, "W[64xttn]") == "64: 24/20*/14");
  const std::string one = "AW[x][a]AB[t][b]";
  CHECK(only_play(one, "W[64xttn]") == "64: 24/20*/14");
  CHECK(only_play(one, "W[64xrrn]") == "64: 24/14");
  CHECK(only_play(one, "W[64xn]") == "64: 24/14");
  const ReadMatch read = read_sgf("(;GM[6]" + both + ";W[64xn])");
  CHECK(read.complaints.empty());
  CHECK(any_contains(read.notes, "game 1: turn 1 hits by either way; read as the larger"));
  CHECK(shown_turn(read.match.games.at(0).turns.at(0)) == "64: 24/18*/14");
  // Only one way is open: the hit is made, though no pair ends there. Black holds White's 18.
  CHECK(only_play("AW[x][a]AB[t][r][r]", "W[64xn]") == "64: 24/20*/14");
}

TEST_CASE("A match is read: who, where, at what score, by what rules") {
  const ReadMatch read = read_sgf(
      "(;FF[4]GM[6]CA[UTF-8]PW[Anna]PB[Bert]DT[2026-11-28]EV[Open]RO[2]PC[Ulm]"
      "MI[length:3][game:1][ws:0][bs:0]RU[Crawford]RE[W+2]C[first];W[31hefe]C[good]"
      ";B[double];W[take];B[42qsrs]C[no])"
      "(;GM[6]PW[Anna]PB[Bert]MI[length:3][game:2][ws:2][bs:0]RU[Crawford:CrawfordGame]RE[B+1R])"
      "(;GM[6]PW[Anna]PB[Bert]MI[length:3][game:3][ws:2][bs:1]RU[Crawford])");
  const RecordedMatch& match = read.match;
  CHECK(match.players == std::array<std::string, 2>{"Anna", "Bert"});
  CHECK(match.length == 3);
  CHECK(match.date == "2026-11-28");
  CHECK(match.event == "Open");
  CHECK(match.round == "2");
  CHECK(match.place == "Ulm");
  REQUIRE(match.games.size() == 3);
  CHECK(match.games[0].comment == "first");
  CHECK(match.games[0].turns[0].comment == "good");
  CHECK(match.games[1].score == std::array<int, 2>{2, 0});
  CHECK(match.games[1].is_crawford);
  CHECK(match.games[1].end == RecordedEnd{1, 1, true});
  CHECK(match.games[2].score == std::array<int, 2>{2, 1});
  CHECK_FALSE(match.games[2].is_crawford);
  CHECK(match.games[2].is_after_crawford);
  // B[42qsrs] is no play of 42: it is told with the roll and the legal plays.
  REQUIRE(read.complaints.size() == 1);
  CHECK_THAT(read.complaints[0], Contains("game 1, turn 4 (line 1): Bert's B[42qsrs]: '8/6 7/6'"));
  CHECK_THAT(read.complaints[0], Contains("not a legal play of 42; expected one of: "));
  CHECK_THAT(read.complaints[0], Contains("8/4 6/4"));
}

TEST_CASE("Rules are read singly and in a list") {
  const auto game = [](const std::string& inside) {
    return read_sgf("(;GM[6]" + inside + ")").match.games.at(0);
  };
  CHECK(game("RU[Jacoby]").jacoby);
  CHECK(game("RU[Beaver,Jacoby]").jacoby);
  CHECK_FALSE(game("RU[Jacoby]MI[length:3]").jacoby);
  CHECK(game("MI[length:3][ws:2][bs:0]").is_crawford);
  CHECK(game("RU[x][Crawford:CrawfordGame]MI[length:3][ws:2][bs:0]").is_crawford);
  CHECK(game("RU[Crawford]MI[length:3][ws:2][bs:0]").is_after_crawford);
}

TEST_CASE("Doubles, takes, drops and beavers turn the cube") {
  const ReadMatch read = read_sgf(
      "(;GM[6]RU[Jacoby];W[31hefe];B[double];W[double];B[take];B[21mopq];W[double];B[drop])");
  for (const std::string& complaint : read.complaints) UNSCOPED_INFO(complaint);
  REQUIRE(read.match.games.size() == 1);
  const RecordedGame& game = read.match.games[0];
  CHECK(game.jacoby);
  REQUIRE(game.turns.size() >= 4);
  CHECK(game.turns[1].cube_value == 1);
  CHECK_FALSE(game.turns[1].is_beaver);
  CHECK(game.turns[2].is_beaver);
  CHECK(game.turns[2].cube_value == 2);
  CHECK(game.turns[2].cube_owner == RecordedOwner::kOwn);
  CHECK(game.turns[3].cube_value == 2);
  // B[21mopq] is illegal (Black has nothing on his 9), so the rest is left out.
  CHECK(game.turns.size() == 4);
  CHECK(any_contains(read.complaints, "turn 5"));
}

TEST_CASE("A beaver that is taken leaves the cube at 4 with whom was doubled first") {
  const ReadMatch read =
      read_sgf("(;GM[6];W[31hefe];B[double];W[double];B[take];B[21mo];W[double];B[drop])");
  for (const std::string& complaint : read.complaints) UNSCOPED_INFO(complaint);
  REQUIRE(read.complaints.size() == 1);  // 21 is three pips: m to o are two.
  const ReadMatch good =
      read_sgf("(;GM[6];W[31hefe];B[double];W[double];B[take];B[21lo];W[double];B[drop])");
  REQUIRE(good.complaints.empty());
  const RecordedGame& game = good.match.games.at(0);
  REQUIRE(game.turns.size() == 7);
  CHECK(game.turns[4].cube_value == 4);
  CHECK(game.turns[4].cube_owner == RecordedOwner::kOpponents);
  CHECK(game.turns[5].cube_owner == RecordedOwner::kOwn);
  CHECK(game.end == RecordedEnd{0, 4, false});
}

TEST_CASE("A game set up begins from there") {
  const ReadMatch read = read_sgf(
      "(;GM[6]AE[a][x]AW[e][e]CV[4]CP[b]PL[B]DI[21];C[here];B[21lo])(;GM[6]AW[a:c]AB[x]CO[c])");
  REQUIRE(read.complaints.empty());
  REQUIRE(read.match.games.size() == 2);
  const RecordedGame& game = read.match.games[0];
  CHECK(position_text(game.start) == "13x5 8x3 6x5 5x2 / 13x5 8x3 6x5");
  CHECK(game.start.opponent.borne_off() == 2);
  CHECK(game.start_cube == 4);
  CHECK(game.start_cube_owner == 1);
  CHECK(game.comment == "here");
  CHECK(game.turns[0].cube_owner == RecordedOwner::kOwn);
  CHECK(position_text(read.match.games[1].start) == "3 2 1 / 1");
}

TEST_CASE("Of a tree with variations the main line is read") {
  const ReadMatch read = read_sgf(
      "(;GM[6];W[31hefe](;B[21lo](;W[11fefehghg])(;W[66])(;W[55](;B[11])))(;B[21\\]x)[y]))");
  CHECK(read.complaints.empty());
  CHECK(any_contains(read.notes, "game 1: variations passed over: 3"));
  REQUIRE(read.match.games.size() == 1);
  CHECK(read.match.games[0].turns.size() == 3);
}

TEST_CASE("Names are read as Latin-1 or UTF-8, escapes resolved") {
  const auto name = [](const std::string& text) { return read_sgf(text).match.players[0]; };
  CHECK(name("(;GM[6]PW[J\xf6rg])") == "J\xc3\xb6rg");
  CHECK(name("(;GM[6]CA[ISO-8859-1]PW[J\xf6rg])") == "J\xc3\xb6rg");
  CHECK(name("(;GM[6]CA[utf-8]PW[J\xc3\xb6rg])") == "J\xc3\xb6rg");
  CHECK(name("\xef\xbb\xbf(;GM[6]PW[J\xc3\xb6rg])") == "J\xc3\xb6rg");
  CHECK(name("(;GM[6]CA[UTF-8]PW[J\xf6rg])") == "J\xef\xbf\xbdrg");
  CHECK(name("(;GM[6]PW[a\\]b\\\\c\\:d\\\ne\nf])") == "a]b\\c:de f");
  const ReadMatch other = read_sgf("(;GM[6]CA[Big5]PW[J\xf6rg])");
  CHECK(other.match.players[0] == "J\xef\xbf\xbdrg");
  CHECK(any_contains(other.notes, "characters of Big5 are not known"));
}

TEST_CASE("The writer's text is the standard's") {
  const ReadMatch read =
      read_sgf("(;GM[6]PW[A]PB[B]MI[length:5];W[31fehe];B[double];W[take];B[61sbsb])");
  const std::string text = sgf_text(read.match);
  CHECK_THAT(text, Contains("FF[4]GM[6]CA[UTF-8]"));
  CHECK_THAT(text, Contains("PW[A]PB[B]"));
  CHECK_THAT(text, Contains("MI[length:5][game:1][ws:0][bs:0]RU[Crawford]"));
  CHECK_THAT(text, Contains(";W[31hefe]\n;B[double]\n;W[take]\n"));
  CHECK(sgf_text(RecordedMatch{}).empty());
}

}  // namespace
}  // namespace sixfold
