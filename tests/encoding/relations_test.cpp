#include "encoding/relations.h"

#include <array>
#include <catch2/catch.hpp>
#include <string>

#include "rules/notation.h"

namespace sixfold {
namespace {

enum Group {
  kOursAtHome,
  kOursOutside,
  kTheirsAtHome,
  kTheirsOutside,
  kOurRear,
  kTheirRear,
  kOurHome
};

int value(const std::string& position, Group group) {
  return relations_of(parse_position(position))[group];
}

}  // namespace

// The shot table that beginners learn (common practice), recomputed exactly: one blot, nothing in
// between, 1 to 12 away.
TEST_CASE("rolls that hit a blot at each distance are those of the shot table") {
  constexpr std::array kTable{11, 12, 14, 15, 15, 17, 6, 6, 5, 3, 2, 3};
  for (int distance = 1; distance <= 12; ++distance) {
    // The roller's 13 point is the opponent's 12, his 6 point the opponent's 19.
    const std::string outside = "13 / " + std::to_string(12 + distance);
    const std::string home = "6 / " + std::to_string(19 + distance);
    INFO(outside);
    CHECK(value(outside, kOursOutside) == kTable[static_cast<std::size_t>(distance - 1)]);
    CHECK(value(outside, kOursAtHome) == 0);
    if (distance > 5) continue;
    CHECK(value(home, kOursAtHome) == kTable[static_cast<std::size_t>(distance - 1)]);
    CHECK(value(home, kOursOutside) == 0);
  }
}

// Recomputed exactly for two hitters i and j pips away, nothing in between.
TEST_CASE("rolls that hit by one of two checkers are those of the shot table") {
  CHECK(value("13 / 14 13", kOursOutside) == 20);
  CHECK(value("13 / 16 13", kOursOutside) == 21);
  CHECK(value("13 / 18 15", kOursOutside) == 28);
  CHECK(value("13 / 18 17", kOursOutside) == 28);
  CHECK(value("18 15 / 13", kTheirsOutside) == 28);
}

TEST_CASE("a checker on the bar hits from the bar, and none is hit in front of its hitter") {
  CHECK(value("2 / bar", kOursAtHome) == 12);
  CHECK(value("bar / 2", kTheirsAtHome) == 12);
  CHECK(value("13 / 11 10", kOursOutside) == 0);
  CHECK(value("13x2 / 14", kOursOutside) == 0);
}

TEST_CASE("blocks are told from the rearmost checker on") {
  // The opponent's 6, 5 and 4 points are the roller's 19, 20 and 21.
  CHECK(value("24 13 / 6x2 5x2 4x2 3", kOurRear) == 0b001110);
  CHECK(value("bar 24 / 6x2 5x2 4x2 3", kOurRear) == 0b000111);
  CHECK(value("20 / 6x2 4x2 3x2", kOurRear) == 0b100000);
  CHECK(value("6x2 4x2 / 20", kTheirRear) == 0b100000);
  CHECK(value("6x2 5x2 / 22", kTheirRear) == 0b011000);
  CHECK(value("8x2 6x3 4 3x2 2x2 / 24", kOurHome) == 0b100110);
}

}  // namespace sixfold
