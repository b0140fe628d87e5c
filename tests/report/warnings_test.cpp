// What is odd about a position: what no game leads to, or a hit alone.
#include "report/words/warnings.h"

#include <catch2/catch.hpp>
#include <random>

#include "oracles/random_positions.h"
#include "rules/notation.h"
#include "rules/start.h"

namespace sixfold {
namespace {

std::vector<std::string> warnings_of(const char* position, int checkers = kMaxCheckers) {
  return position_warnings(parse_position(position, checkers));
}

}  // namespace

TEST_CASE("A checker that is left out while others are not home is told of") {
  using Catch::Contains;
  const auto roller = warnings_of("24x2 13x5 8x3 6x4 / 24x2 13x5 8x3 6x5");
  REQUIRE(roller.size() == 1);
  CHECK_THAT(roller[0], Contains("side on roll has 14 of 15"));
  const auto opponent = warnings_of("6x5 5x5 4x5 / 7 6x2");
  REQUIRE(opponent.size() == 1);
  CHECK_THAT(opponent[0], Contains("opponent has 3 of 15"));
  CHECK(warnings_of("bar 6 / 7 5").size() == 2);
}

TEST_CASE("A bear-off, a start, and a game of few checkers are not odd") {
  CHECK(warnings_of("24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5").empty());
  CHECK(warnings_of("6x3 5 / 4x2 1").empty());
  CHECK(warnings_of("24 23 22 / 24 23 22", 3).empty());
  CHECK(warnings_of("6x2 / ").empty());
}

TEST_CASE("Both sides on the bar, and neither in the other's home board, is no game's position") {
  const char* closed = "bar 6x2 5x2 4x2 3x2 2x2 1x2 7x2 / bar 6x2 5x2 4x2 3x2 2x2 1x2 7x2";
  const auto warnings = warnings_of(closed);
  REQUIRE(warnings.size() == 1);
  CHECK_THAT(warnings[0], Catch::Contains("no game leads there"));
  // One of two has entered and hit.
  CHECK(warnings_of("bar 21 13x5 8x3 6x5 / bar 24 13x5 8x3 6x5").empty());
}

TEST_CASE("No position that is played to is said to be impossible") {
  std::mt19937_64 random(7);
  int both_on_bar = 0;
  PlayList plays;
  for (int game = 0; game < 3000; ++game) {
    Position position = start_position(kMaxCheckers);
    for (int turn = 0; turn < 60 && !game_over(position); ++turn) {
      const Roll roll =
          make_roll(static_cast<int>(random() % 6) + 1, static_cast<int>(random() % 6) + 1);
      generate_plays(position, roll, plays);
      // Plays that hit are taken where there are some, so that many are on the bar.
      PlayKey chosen = plays[random() % plays.size()];
      for (const PlayKey play : plays) {
        if (play.hits() != 0) chosen = play;
      }
      position = position_after(position, chosen);
      if (position.roller[kBar] > 0 && position.opponent[kBar] > 0) ++both_on_bar;
      for (const std::string& warning : position_warnings(position)) {
        CHECK_THAT(warning, !Catch::Contains("no game leads there"));
      }
    }
  }
  CHECK(both_on_bar > 100);
}

}  // namespace sixfold
