/// Source of the forms: SGF FF[4], the Smart Game Format's general page, and its page on
/// backgammon, GM[6].
#include <catch2/catch.hpp>

#include "record/record_fixtures.h"
#include "record/sgf.h"

namespace sixfold {
namespace {

/// Complaints about one game; `turns`: how many of it are kept.
std::vector<std::string> complaints_of(const std::string& inside, std::size_t turns) {
  const ReadMatch read = read_sgf("(;GM[6]PW[Anna]PB[Bert]" + inside + ")");
  REQUIRE(read.match.games.size() == 1);
  CHECK(read.match.games[0].turns.size() == turns);
  return read.complaints;
}

void check_complaint(const std::string& inside, std::size_t turns, const std::string& expected) {
  INFO(inside);
  const auto complaints = complaints_of(inside, turns);
  REQUIRE(complaints.size() == 1);
  CHECK_THAT(complaints[0], Contains(expected));
}

TEST_CASE("Turns out of order are complained about with game and turn") {
  check_complaint(";W[31hefe];W[31hefe]", 1,
                  "game 1, turn 2 (line 1): Anna plays out of turn; expected a turn of Bert");
  check_complaint(";W[31hefe];B[take];B[21lo]", 2, "turn 2 (line 1): Bert takes, but nobody");
  check_complaint(";W[31hefe];B[drop];B[21lo]", 1, "Bert passes, but nobody has doubled");
  check_complaint(";W[31hefe];B[double];B[21lo]", 2, "Bert plays out of turn; expected a turn of");
  check_complaint(";W[31hefe];B[double];W[21xu]", 2, "before the double is answered");
  check_complaint(";W[31hefe];B[double];W[take];B[21lo];W[21xu];B[double]", 5,
                  "Bert doubles, but the cube is Anna's");
  check_complaint(";W[double];B[drop];W[31hefe]", 2, "Anna plays after the end of the game");
  check_complaint("MI[length:3];W[31hefe];B[double];W[double]", 2, "beavers are for money");
  check_complaint("MI[length:3][ws:2][bs:0];W[31hefe];B[double]", 1, "in the Crawford game");
}

TEST_CASE("Moves that are none are complained about") {
  check_complaint(";W[31hefd]", 0, "'8/5 6/4' is not a legal play of 31; expected one of: ");
  check_complaint(";W[31]", 0, "'no play' is not a legal play of 31");
  check_complaint(";W[31hef]", 0, "are no pairs of points");
  check_complaint(";W[31he!e]", 0, "are no pairs of points");
  check_complaint(";W[11hghgfefeab]", 0, "are no pairs of points");
  check_complaint(";W[37hefe]", 0, "'37' is not a roll");
  check_complaint(";W[]", 0, "'' is not a roll");
  check_complaint(";W[triple]", 0, "'tr' is not a roll");
}

TEST_CASE("The comment of a turn that is left out goes with it") {
  const ReadMatch read = read_sgf("(;GM[6];W[31hefe]C[good];B[31aaaa]C[bad])");
  CHECK(read.match.games.at(0).turns.at(0).comment == "good");
}

TEST_CASE("Set-ups that cannot be are complained about and the game's turns left out") {
  const auto check = [](const std::string& inside, const std::string& expected) {
    check_complaint(inside + ";W[31hefe]", 0, expected);
  };
  check("AW[a]AB[a]", "game 1, its start: position: both sides stand on");
  check("AW[a]", "game 1, its start");
  check("AE[a]AW[f][f][f][f][f][f]", "White has more than 15 checkers");
  check("AW[ab]", "AW[ab] is no point; expected a letter from a to z");
  check("CV[3]", "CV[3] is no value of the cube; expected 1, 2, 4");
  check("CV[-2]", "is no value of the cube");
  check("CV[99999999999999]", "is no value of the cube");
  check("CP[x]", "CP[x] is no player");
  check("DI[70]", "'70' is not a roll");
}

TEST_CASE("A set-up within a game leaves the rest out") {
  check_complaint(";W[31hefe];CV[4];B[21lo]", 1,
                  "turn 2 (line 1): CV sets up within the game; expected before the first turn");
  check_complaint("PL[B];W[31hefe]", 0, "Anna plays out of turn; expected a turn of Bert");
}

TEST_CASE("Results that cannot be are complained about, and the turns count") {
  check_complaint("RE[B+2];W[double];B[drop]", 2,
                  "game 1, its result: Bert is said to win 2; expected Anna winning 1");
  check_complaint("CV[2]RE[W+3R]", 0, "Anna is said to win 3 with the cube at 2");
  check_complaint("RE[W+4R]", 0, "expected the cube's value times 1 to 3");
  check_complaint("RU[Jacoby]RE[W+2R]", 0, "expected the cube's value times 1 to 1");
  check_complaint("RE[W+0]", 0, "expected at least 1 point");
  const ReadMatch read = read_sgf("(;GM[6]RE[W+x])");
  CHECK(any_contains(read.notes, "RE[W+x] is not understood"));
}

TEST_CASE("Scores that cannot be are complained about, and those that follow count") {
  for (const char* score : {"[ws:3][bs:0]", "[ws:-1][bs:0]", "[ws:0][bs:2000000000]"}) {
    const ReadMatch read = read_sgf(std::string("(;GM[6]MI[length:3]") + score + ")");
    REQUIRE(read.match.games.size() == 1);
    CHECK(read.match.games[0].score == std::array<int, 2>{0, 0});
    CHECK(any_contains(read.complaints, "is impossible"));
  }
  const ReadMatch other = read_sgf(
      "(;GM[6]MI[length:5]RE[W+1R])(;GM[6]MI[length:5][ws:0][bs:1])(;GM[6]RU[Crawford:CrawfordGame]"
      ")");
  REQUIRE(other.match.games.size() == 3);
  CHECK(other.match.games[1].score == std::array<int, 2>{0, 1});
  CHECK(any_contains(other.notes, "game 2: the score is said to be 0-1, where 1-0 follows"));
  CHECK_FALSE(other.match.games[2].is_crawford);
  CHECK(any_contains(other.complaints, "game 3: said to be the Crawford game at 0-1"));
  const ReadMatch over = read_sgf("(;GM[6]MI[length:1]RE[W+1R])(;GM[6];W[31hefe])");
  CHECK(over.match.games.size() == 1);
  CHECK(any_contains(over.complaints, "game 2: the match is over before it, at 1-0; left out"));
  CHECK(any_contains(read_sgf("(;GM[6]MI[length:-1])").complaints, "a match length of -1"));
}

TEST_CASE("What counts for nothing is noted") {
  const auto notes = [](const std::string& inside) {
    return read_sgf("(;GM[6]" + inside + ")").notes;
  };
  CHECK(any_contains(notes("DI[21];W[31hefe]"),
                     "game 1: set up with the dice 21, but played with 31"));
  CHECK(notes("DI[31];W[31hefe]").empty());
  CHECK(any_contains(notes("CO[n]"), "game 1: no cube; read as one in the middle"));
  CHECK(any_contains(notes("MI[ws:2]"), "MI tells one player's score alone"));
  CHECK(any_contains(notes("MI[length:x]"), "MI[length:x] is not understood"));
}

TEST_CASE("Games of another kind or match are skipped, and the others read") {
  const ReadMatch read = read_sgf(
      "(;GM[1]PW[Go];B[aa])\n(;GM[6]PW[A]PB[B];W[31hefe])\n(;GM[6]PW[C]PB[B])\n"
      "(;GM[6]PW[A]PB[B]XY[unknown][z];W[31hefe])");
  REQUIRE(read.match.games.size() == 2);
  CHECK(read.match.players[0] == "A");
  REQUIRE(read.complaints.size() == 2);
  CHECK_THAT(read.complaints[0], Contains("line 1: a game of another kind, GM[1]"));
  CHECK_THAT(read.complaints[1], Contains("line 3: a game of another match"));
}

TEST_CASE("After a game that breaks the next ones are read") {
  const ReadMatch read =
      read_sgf("(;GM[6]MI[length:7]CV[2]RE[B+3R];W[31aaaa];B[21lo])(;GM[6]MI[length:7];W[31hefe])");
  REQUIRE(read.match.games.size() == 2);
  CHECK(read.complaints.size() == 1);  // The cube may have been turned where turns are left out.
  CHECK(read.match.games[0].turns.empty());
  CHECK(read.match.games[0].end == RecordedEnd{1, 3, false});
  CHECK(read.match.games[1].score == std::array<int, 2>{0, 3});
  CHECK(read.match.games[1].turns.size() == 1);
}

TEST_CASE("A text cut off at any byte keeps what was complete") {
  const std::string text =
      "(;FF[4]GM[6]PW[Anna]PB[Be\\]rt]MI[length:5]AE[x]AW[x][x]C[c]RE[W+2R]\n"
      ";W[31hefe]C[a\\]b](;B[double];W[take];B[21lo])(;B[66]))"
      "(;GM[6]PW[Anna]PB[Be\\]rt]MI[length:5]RE[B+1];W[31hefe];B[double];W[drop])";
  const ReadMatch whole = read_sgf(text);
  REQUIRE(whole.complaints.empty());
  REQUIRE(whole.match.games.size() == 2);
  for (std::size_t end = 0; end < text.size(); ++end) {
    INFO(text.substr(0, end));
    const ReadMatch read = read_sgf(text.substr(0, end));
    REQUIRE(read.match.games.size() <= 2);
    // Each game's turns are the first of the whole one's, as many as have been closed.
    std::size_t turns = 0;
    for (std::size_t game = 0; game < read.match.games.size(); ++game) {
      const auto& kept = read.match.games[game].turns;
      const auto& all = whole.match.games[game].turns;
      REQUIRE(kept.size() <= all.size());
      turns += kept.size();
      for (std::size_t i = 0; i < kept.size(); ++i) {
        CHECK(kept[i].position == all[i].position);
        CHECK(kept[i].play == all[i].play);
        CHECK(kept[i].kind == all[i].kind);
      }
    }
    std::size_t expected = 0;
    for (const char* move : {"W[31hefe]C", ";B[double];W[take", ";W[take]", "B[21lo]"}) {
      const std::string closed = std::string(move).substr(0, std::string(move).find(']') + 1);
      expected += text.substr(0, end).find(closed) != std::string::npos;
    }
    const std::size_t second = text.find("(;GM[6]");
    if (end > second) {
      for (const char* move : {";W[31hefe]", ";B[double]", ";W[drop]"}) {
        expected += text.substr(second, end - second).find(move) != std::string::npos;
      }
    }
    CHECK(turns == expected);
    // A told result is none of a game that is cut off before its end.
    if (end < second && !read.match.games.empty()) CHECK_FALSE(read.match.games[0].end);
    if (end >= second) CHECK(read.match.games.at(0).end == RecordedEnd{0, 2, true});
    const bool is_between_games = end == 0 || end == second;
    if (!is_between_games) CHECK_FALSE(read.complaints.empty());
  }
}

TEST_CASE("Nesting may be as deep as it likes") {
  const std::size_t depth = 100'000;
  const std::string open(depth, '(');
  const std::string close(depth, ')');
  CHECK(read_sgf(open).match.games.empty());
  CHECK(
      read_sgf("(;GM[6];W[31hefe]" + open + ";B[21lo]" + close + ")").match.games[0].turns.size() ==
      2);
  const std::string beside = "(;GM[6];W[31hefe](;B[21lo])" + open + close + ")";
  CHECK(read_sgf(beside).match.games[0].turns.size() == 2);
  std::string nodes;
  for (std::size_t i = 0; i < depth; ++i) nodes += "(;C[x]";
  CHECK(read_sgf(nodes).match.games.empty());
  CHECK(read_sgf(std::string(depth, '[')).match.games.empty());
  CHECK(read_sgf("(;" + std::string(depth, '\\')).match.games.empty());
}

TEST_CASE("What does not belong in a tree is complained about and skipped") {
  const auto check = [](const std::string& text, const std::string& complaint) {
    const ReadMatch read = read_sgf(text);
    REQUIRE(read.match.games.size() == 1);
    CHECK(read.match.games[0].turns.size() == 1);
    CHECK(any_contains(read.complaints, complaint));
  };
  check("(\n[x];GM[6];W[31hefe])", "line 2: a value without a name does not belong here");
  check("(;GM[6]&&;W[31hefe])", "'&' does not belong here");
  check("(;GM[6]PW;W[31hefe])", "PW without a value");
  check("(;GM[6](;W[31hefe]);B[21lo])", "a node behind a variation");
  CHECK(any_contains(read_sgf("()").complaints, "a game without nodes"));
  CHECK(any_contains(read_sgf("nothing").complaints, "no game in the text"));
}

TEST_CASE("Random bytes and random changes never crash") {
  std::mt19937_64 random(7);
  RandomMatches matches(8);
  constexpr std::string_view kBytes = "();[]\\:WBadefhxyz0123456789\n\xff";
  for (int i = 0; i < 300; ++i) {
    std::string text = sgf_text(matches.draw()).substr(0, 3000);
    for (int change = 0; change < 5; ++change) {
      text[random() % text.size()] = kBytes[random() % kBytes.size()];
    }
    const ReadMatch read = read_sgf(text);
    // What was kept can be written and is the same when read again.
    if (!read.match.games.empty()) CHECK(read_sgf(sgf_text(read.match)).match == read.match);
  }
}

}  // namespace
}  // namespace sixfold
