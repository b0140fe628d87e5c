#include "rules/plays.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cstdint>
#include <random>
#include <set>
#include <string>
#include <vector>

#include "oracles/plays_oracle.h"
#include "oracles/random_positions.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

bool comes_before(const Position& a, const Position& b) {
  if (a.roller != b.roller) return a.roller.bits() < b.roller.bits();
  return a.opponent.bits() < b.opponent.bits();
}

std::string text_of(const std::vector<Position>& positions) {
  std::string text;
  for (const Position& position : positions) text += "\n  " + position_text(position);
  return text;
}

/// What the comparisons met on the way, to show that they were not idle.
struct Tally {
  int rolls = 0;
  int without_play = 0;
  int with_hit = 0;
  int with_bear_off = 0;
};

/// Compares the positions after all plays of a roll with the oracle's. The oracle lists each
/// position once, so that equal lists also mean equal counts and no duplicate.
void compare_with_oracle(const Position& position, Roll roll, Tally& tally) {
  PlayList plays;
  generate_plays(position, roll, plays);
  std::vector<Position> found;
  bool hit = false;
  bool bears_off = false;
  for (const PlayKey play : plays) {
    found.push_back(position_after(position, play));
    hit = hit || play.hits() != 0;
    bears_off = bears_off || play.mover().borne_off() > position.roller.borne_off();
  }
  std::vector<Position> expected = oracle::results(position, roll);
  std::sort(found.begin(), found.end(), comes_before);
  std::sort(expected.begin(), expected.end(), comes_before);
  if (found != expected) {
    FAIL(position_text(position) << ", roll " << roll_text(roll) << ", generated:" << text_of(found)
                                 << "\nexpected:" << text_of(expected));
  }
  const bool no_play = expected == std::vector<Position>{swapped(position)};
  if (no_play && plays[0] != PlayKey(position.roller.bits())) {
    FAIL(position_text(position) << ", roll " << roll_text(roll) << ": the entry is not empty");
  }
  ++tally.rolls;
  tally.without_play += no_play ? 1 : 0;
  tally.with_hit += hit ? 1 : 0;
  tally.with_bear_off += bears_off ? 1 : 0;
}

Tally compare_all(int checkers, int highest_point) {
  Tally tally;
  for (const Position& position : oracle::all_positions(checkers, highest_point)) {
    if (game_over(position)) continue;
    for (const Roll roll : kRolls) compare_with_oracle(position, roll, tally);
  }
  return tally;
}

using Texts = std::set<std::string>;

/// The plays of a roll as text. The positions below need no further checkers: those that are not
/// listed are borne off.
Texts plays_of(const char* position_text, const char* roll_text) {
  const Position position = parse_position(position_text);
  const Roll roll = parse_roll(roll_text);
  PlayList plays;
  generate_plays(position, roll, plays);
  Texts texts;
  for (const PlayKey play : plays) texts.insert(play_text(position, roll, play));
  CHECK(texts.size() == plays.size());
  return texts;
}

/// The position after the only play of a roll.
std::string after_only_play(const char* text, const char* roll) {
  const Position position = parse_position(text);
  PlayList plays;
  generate_plays(position, parse_roll(roll), plays);
  REQUIRE(plays.size() == 1);
  return position_text(position_after(position, plays[0]));
}

/// Ways to put `checkers` on `places`.
std::uint64_t ways(std::uint64_t places, std::uint64_t checkers) {
  std::uint64_t product = 1;
  for (std::uint64_t i = 1; i <= checkers; ++i) product = product * (places - 1 + i) / i;
  return product;
}

/// Positions with `checkers` a side, both sides all off included: sum over the m points that the
/// first side holds. Trice W., 17 June 1997, rec.games.backgammon.
std::uint64_t position_count(std::uint64_t checkers) {
  std::uint64_t sum = 0;
  for (std::uint64_t m = 0; m <= checkers; ++m) {
    std::uint64_t points = 1;  // C(24, m)
    for (std::uint64_t i = 1; i <= m; ++i) points = points * (25 - i) / i;
    sum += points * ways(m + 2, checkers - m) * ways(26 - m, checkers);
  }
  return sum;
}

}  // namespace

TEST_CASE("The complete lists of small positions have the published length") {
  // Trice's formula gives 7,959,904 positions with three checkers a side.
  CHECK(position_count(3) == 7'959'904);
  CHECK(oracle::all_positions(1, kPoints).size() == position_count(1) - 1);
  CHECK(oracle::all_positions(2, kPoints).size() == position_count(2) - 1);
}

TEST_CASE("The generator agrees with the oracle on every position of one checker a side") {
  const Tally tally = compare_all(1, kPoints);
  CHECK(tally.without_play == 0);  // One checker blocks nothing.
  CHECK(tally.with_hit > 0);
  CHECK(tally.with_bear_off > 0);
}

TEST_CASE("The generator agrees with the oracle on every position of two checkers a side") {
  const Tally near_home = compare_all(2, 12);
  CHECK(near_home.with_bear_off > 0);
  const Tally everywhere = compare_all(2, kPoints);
  CHECK(everywhere.without_play > 0);
  CHECK(everywhere.with_hit > 0);
  CHECK(everywhere.with_bear_off > 0);
}

TEST_CASE("The generator agrees with the oracle on every home position of three or four checkers") {
  for (const int checkers : {3, 4}) {
    const Tally tally = compare_all(checkers, kHomePoints);
    CHECK(tally.without_play > 0);
    CHECK(tally.with_hit > 0);
    CHECK(tally.with_bear_off > 0);
  }
}

TEST_CASE("The generator agrees with the oracle on random positions of fifteen checkers a side") {
  std::mt19937_64 random(20240301);
  Tally tally;
  for (int i = 0; i < 100'000; ++i) {
    const Position position = oracle::random_position(random, kMaxCheckers);
    compare_with_oracle(position, kRolls[random() % kRolls.size()], tally);
  }
  CHECK(tally.without_play > 2'000);
  CHECK(tally.with_hit > 10'000);
  CHECK(tally.with_bear_off > 10'000);
}

TEST_CASE("The generator agrees with the oracle on random positions of fewer checkers a side") {
  std::mt19937_64 random(20240302);
  Tally tally;
  for (int checkers = 1; checkers < kMaxCheckers; ++checkers) {
    for (int i = 0; i < 300; ++i) {
      const Position position = oracle::random_position(random, checkers);
      for (const Roll roll : kRolls) compare_with_oracle(position, roll, tally);
    }
  }
  CHECK(tally.without_play > 500);
  CHECK(tally.with_hit > 2'000);
  CHECK(tally.with_bear_off > 2'000);
}

TEST_CASE("Where no play exists the list holds one entry that changes nothing") {
  for (const char* text : {
           "bar 13x4 / 6x2 5x2 4x2 3x2 2x2 1x2",   // Dancing against a closed board.
           "24x2 / 7x2 6x2 5x2 4x2 3x2 2x2",       // Behind a full prime.
           "7x2 / 24x2 23x2 22x2 21x2 20x2 19x2",  // The other side holds the whole home board.
       }) {
    const Position position = parse_position(text);
    for (const Roll roll : kRolls) {
      INFO(text << ", roll " << roll_text(roll));
      PlayList plays;
      generate_plays(position, roll, plays);
      REQUIRE(plays.size() == 1);
      CHECK(plays[0].mover() == position.roller);
      CHECK(plays[0].hits() == 0);
      CHECK(position_after(position, plays[0]) == swapped(position));
    }
  }
}

TEST_CASE("A list of plays is replaced and not added to") {
  PlayList plays;
  generate_plays(parse_position("8 / 1"), parse_roll("21"), plays);
  generate_plays(parse_position("24 / 7x2 6x2 5x2 4x2 3x2 2x2"), parse_roll("21"), plays);
  CHECK(plays.size() == 1);
}

TEST_CASE("Where either die can be played but not both the larger must be") {
  CHECK(plays_of("24 / 12x2", "65") == Texts{"24/18"});
  CHECK(plays_of("bar / 11x2", "65") == Texts{"bar/19"});
  // 13/7 and 13/9 are both open and each is the end: 3 and 5 are blocked.
  CHECK(plays_of("13 9 / 22x2 20x2", "64") == Texts{"13/7"});
}

TEST_CASE("Where the larger die cannot be played the smaller must be") {
  CHECK(plays_of("24 / 12x2 7x2", "65") == Texts{"24/19"});
  CHECK(plays_of("bar / 7x2 6x2", "61") == Texts{"bar/24"});
}

TEST_CASE("Both dice must be played where any order or any choice of checkers allows it") {
  // The 6 first is blocked, the 5 first is not.
  CHECK(plays_of("24 / 7x2", "65") == Texts{"24/13"});
  // After 13/9 no 6 is left, after 13/7 the 4 from 9 is.
  CHECK(plays_of("13 9 / 22x2", "64") == Texts{"13/7 9/5"});
}

TEST_CASE("A checker on the bar enters before any other moves") {
  CHECK(plays_of("bar 13 / 6x2", "63") == Texts{"bar/16", "bar/22 13/7"});
  CHECK(plays_of("barx2 13 / 6x2", "63") == Texts{"bar/22"});
  CHECK(plays_of("barx2 13 / 1", "63") == Texts{"bar/19 bar/22"});
  CHECK(plays_of("bar 13 / 6x2 3x2", "63") == Texts{"no play"});
  CHECK(plays_of("barx3 13 / 1", "63") == Texts{"bar/19 bar/22"});
}

TEST_CASE("Doubles enter as many checkers from the bar as they can") {
  CHECK(plays_of("barx2 13 / 6x2", "33") == Texts{"bar/22(2) 13/7"});
  CHECK(plays_of("barx5 13 / 1", "33") == Texts{"bar/22(4)"});
  CHECK(plays_of("barx2 13 / 3x2", "33") == Texts{"no play"});
}

TEST_CASE("No checker is borne off while another is on the bar or outside the home board") {
  CHECK(plays_of("bar 1 / 6x2", "61") == Texts{"bar/18"});
  CHECK(plays_of("7 6 / 1", "61") == Texts{"7/off", "7/1 6/5"});
  CHECK(plays_of("13 6x2 / 1", "65") == Texts{"13/2", "13/7 6/1"});
}

TEST_CASE("A larger die bears off from the rearmost point only") {
  CHECK(plays_of("5 3 / 1", "64") == Texts{"5/off 3/off", "5/1 3/off"});
  CHECK(plays_of("6 3 / 1", "54") == Texts{"6/1 3/off", "6/2 3/off"});
  CHECK(plays_of("4x2 / 1", "66") == Texts{"4/off(2)"});
  CHECK(plays_of("6 2x3 / 1", "55") == Texts{"6/1 2/off(3)"});
}

TEST_CASE("A die equal to the point bears off with checkers behind it") {
  CHECK(plays_of("6 3 / 1", "31") == Texts{"6/2", "6/5 3/off"});
}

TEST_CASE("The last checker off ends the play") {
  CHECK(plays_of("1 / 1", "66") == Texts{"1/off"});
  CHECK(plays_of("2x2 / 1", "44") == Texts{"2/off(2)"});
  CHECK(plays_of("4 / 1", "53") == Texts{"4/off"});
}

TEST_CASE("Doubles are played four times or as often as possible") {
  CHECK(plays_of("20 / 1", "22") == Texts{"20/12"});
  CHECK(plays_of("20 / 14x2", "33") == Texts{"20/14"});
  CHECK(plays_of("20 8 / 23x2 14x2", "33") == Texts{"20/14 8/5"});
  // The five ways to share four steps among four checkers.
  CHECK(plays_of("6x4 / 1", "11") == Texts{"6/2", "6/3 6/5", "6/4(2)", "6/4 6/5(2)", "6/5(4)"});
}

TEST_CASE("A blot can be hit and a point of two or more cannot be entered") {
  CHECK(plays_of("bar / 3", "32") == Texts{"bar/22*/20", "bar/20"});
  CHECK(plays_of("bar / 3x2", "32") == Texts{"bar/20"});
  CHECK(plays_of("bar / 3x2 2x2", "32") == Texts{"no play"});
}

TEST_CASE("One play can hit several blots") {
  CHECK(plays_of("8 4 / 22 20", "31") == Texts{"8/5* 4/3*", "8/5*/4", "8/4", "8/7 4/1"});
  CHECK(plays_of("20 / 7 9 11 13", "22") == Texts{"20/18*/16*/14*/12*"});
  CHECK(after_only_play("20 / 7 9 11 13", "22") == "barx4 / 12");
  CHECK(after_only_play("barx2 / bar 10x2 5", "55") == "barx2 10x2 / 20x2");
}

TEST_CASE("The two ways of one checker past a blot are two plays when only one hits") {
  CHECK(plays_of("13 / 15", "31") == Texts{"13/10*/9", "13/9"});
  CHECK(plays_of("13 / 15 13", "31") == Texts{"13/10*/9", "13/12*/9"});
  CHECK(plays_of("13 / 15 13x2", "31") == Texts{"13/10*/9"});
}

TEST_CASE("After a play the other player is on roll and hit checkers are on the bar") {
  CHECK(after_only_play("24 / 12x2", "65") == "12x2 / 18");
  CHECK(after_only_play("24 / 12x2 7", "65") == "bar 12x2 / 18");
  CHECK(after_only_play("bar 13x4 / 6x2 5x2 4x2 3x2 2x2 1x2", "43") ==
        "6x2 5x2 4x2 3x2 2x2 1x2 / bar 13x4");
}

}  // namespace sixfold
