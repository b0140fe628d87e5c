#include <catch2/catch.hpp>

#include "record/plain.h"
#include "record/read.h"
#include "record/record_fixtures.h"
#include "record/sgf.h"

namespace sixfold {
namespace {

void check_same(const RecordedMatch& match, const std::string& text) {
  const ReadMatch read = read_record(text);
  INFO(text);
  for (const std::string& complaint : read.complaints) UNSCOPED_INFO(complaint);
  REQUIRE(read.complaints.empty());
  for (const std::string& note : read.notes) UNSCOPED_INFO(note);
  REQUIRE(read.notes.empty());
  REQUIRE(read.match == match);
}

/// How often each thing happens in the matches, so that none is left out by chance.
struct Seen {
  int passes = 0, takes = 0, beavers = 0, resignations = 0, borne_off = 0, broken_off = 0;
  int crawford = 0, after_crawford = 0, money = 0, hits = 0, turns = 0;

  void add(const RecordedMatch& match) {
    money += match.length == 0;
    for (const RecordedGame& game : match.games) {
      crawford += game.is_crawford;
      after_crawford += game.is_after_crawford;
      for (const RecordedTurn& turn : game.turns) {
        ++turns;
        passes += turn.kind == TurnKind::kPass;
        takes += turn.kind == TurnKind::kTake;
        beavers += turn.is_beaver;
        hits += turn.kind == TurnKind::kPlay && turn.play.hits() != 0;
      }
      broken_off += !game.end;
      if (!game.end) continue;
      resignations += game.end->by_resignation;
      borne_off += !game.end->by_resignation && game.turns.back().kind == TurnKind::kPlay;
    }
  }
};

TEST_CASE("A thousand random matches are the same after writing and reading, in both forms") {
  RandomMatches matches(1);
  Seen seen;
  for (int i = 0; i < 1000; ++i) {
    const RecordedMatch match = matches.draw();
    seen.add(match);
    check_same(match, sgf_text(match));
    check_same(match, plain_text(match));
  }
  CAPTURE(seen.passes, seen.takes, seen.beavers, seen.resignations, seen.borne_off, seen.broken_off,
          seen.crawford, seen.after_crawford, seen.money, seen.turns);
  for (const int count : {seen.passes, seen.takes, seen.beavers, seen.resignations, seen.borne_off,
                          seen.broken_off, seen.crawford, seen.after_crawford, seen.money}) {
    CHECK(count >= 20);
  }
  CHECK(seen.hits >= 1000);
  CHECK(seen.turns >= 30'000);
}

TEST_CASE("The form of a record is told by its first character") {
  CHECK(read_record("\xef\xbb\xbf \n(;GM[6]PW[Anna];W[31hefe])").match.players[0] == "Anna");
  CHECK(read_record("# (;\nplayer: Anna\ngame 1\n").match.players[0] == "Anna");
  CHECK(any_contains(read_record("").complaints, "expected a line 'game 1'"));
}

TEST_CASE("A result that the turns do not lead to stays, with a note") {
  const ReadMatch sgf = read_sgf("(;GM[6]RE[B+4];W[31hefe])");
  CHECK(sgf.complaints.empty());
  CHECK(any_contains(sgf.notes, "player 2 winning 4"));
  REQUIRE(sgf.match.games.size() == 1);
  CHECK(sgf.match.games[0].end == RecordedEnd{1, 4, false});
  CHECK(read_plain(plain_text(sgf.match)).match == sgf.match);
  CHECK(read_sgf(sgf_text(sgf.match)).match == sgf.match);
}

}  // namespace
}  // namespace sixfold
