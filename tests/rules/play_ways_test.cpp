#include "rules/play_ways.h"

#include <catch2/catch.hpp>
#include <random>
#include <string>

#include "oracles/random_positions.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

/// A board on which checkers are put by hand; hits send the other side's to its bar.
Position made_by_hand(Position position, const PlayWay& way) {
  for (const CheckerMove& move : way) {
    position.roller.move(move.from, move.to);
    if (move.to != kOff && position.opponent[mirrored(move.to)] == 1) {
      position.opponent.move(mirrored(move.to), kBar);
    }
  }
  return swapped(position);
}

std::vector<std::string> ways_of(const char* position, const char* dice, const char* play) {
  const Position read = parse_position(position);
  const Roll roll = parse_roll(dice);
  PlayList plays;
  generate_plays(read, roll, plays);
  const auto ways = play_ways(read, roll);
  std::vector<std::string> texts;
  for (std::size_t i = 0; i < plays.size(); ++i) {
    if (play_text(read, roll, plays[i]) != play) continue;
    for (const PlayWay& way : ways[i]) {
      std::string text;
      for (const CheckerMove& move : way) {
        text +=
            (text.empty() ? "" : " ") + std::to_string(move.from) + "/" + std::to_string(move.to);
      }
      texts.push_back(text);
    }
  }
  return texts;
}

TEST_CASE("each way to make a play leads to it, and each play has one") {
  std::mt19937_64 random(20);
  int several = 0;
  for (int n = 0; n < 400; ++n) {
    const Position position = oracle::random_position(random, n % 3 == 0 ? 15 : 1 + n % 15);
    for (const Roll roll : kRolls) {
      PlayList plays;
      generate_plays(position, roll, plays);
      const auto ways = play_ways(position, roll);
      REQUIRE(ways.size() == plays.size());
      for (std::size_t i = 0; i < ways.size(); ++i) {
        if (ways[i].empty()) FAIL(position_text(position) << ", " << roll_text(roll));
        several += ways[i].size() > 1 ? 1 : 0;
        for (const PlayWay& way : ways[i]) {
          if (made_by_hand(position, way) == position_after(position, plays[i])) continue;
          FAIL(position_text(position)
               << ", " << roll_text(roll) << ": " << play_text(position, roll, plays[i]));
        }
      }
    }
  }
  REQUIRE(several > 1000);
}

TEST_CASE("a way names checker moves, by either die first, and no more or fewer than can be made") {
  const char* start = "24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5";
  REQUIRE(ways_of(start, "64", "24/14") == std::vector<std::string>{"24/18 18/14", "24/20 20/14"});
  REQUIRE(ways_of(start, "31", "8/5 6/5") == std::vector<std::string>{"8/5 6/5"});
  REQUIRE(ways_of("24 13 / 6x2 5x2 4x2 3x2 2x2 1x2", "11", "24/20") == std::vector<std::string>{});
  REQUIRE(ways_of("bar / 6x2 5x2 4x2 3x2 2x2 1x2", "31", "no play") ==
          std::vector<std::string>{""});
  // Off with the 6 alone leaves the same checker, but the 1 can be played then.
  REQUIRE(ways_of("2 1 / 24", "61", "2/off") == std::vector<std::string>{"2/1 1/off"});
}

}  // namespace
}  // namespace sixfold
