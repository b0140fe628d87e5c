#include <algorithm>
#include <bit>
#include <catch2/catch.hpp>
#include <cstdint>
#include <random>
#include <sstream>
#include <string>
#include <vector>

#include "oracles/random_positions.h"
#include "rules/error_checks.h"
#include "rules/notation.h"
#include "rules/start.h"

namespace sixfold {
namespace {

/// One play in standard notation and how the library writes it.
struct PlayForm {
  const char* position;
  const char* roll;
  const char* written;
  const char* shown;
};

std::string shown_play(const PlayForm& form) {
  const Position position = parse_position(form.position);
  const Roll roll = parse_roll(form.roll);
  return play_text(position, roll, parse_play(position, roll, form.written));
}

/// A part of a play as text, split up: 24/20*(2) has origin "24", end "20" and count 2.
struct TextPart {
  std::string origin;
  std::string end;
  std::string once;  ///< Without the count.
  int count = 1;
  bool quiet_stop = false;  ///< Stops on its way where it hits nothing.
};

TextPart part_of(const std::string& text) {
  TextPart part;
  part.once = text.substr(0, text.find('('));
  if (part.once.size() < text.size()) part.count = text[part.once.size() + 1] - '0';
  std::vector<std::string> stops;
  std::istringstream words(part.once);
  for (std::string stop; std::getline(words, stop, '/');) stops.push_back(stop);
  REQUIRE(stops.size() >= 2);
  for (std::size_t i = 1; i + 1 < stops.size(); ++i) {
    if (stops[i].back() != '*') part.quiet_stop = true;
  }
  part.origin = stops.front();
  part.end = stops.back();
  if (part.end.back() == '*') part.end.pop_back();
  return part;
}

std::vector<TextPart> parts_of(const std::string& play) {
  std::vector<TextPart> parts;
  std::istringstream words(play);
  for (std::string word; words >> word;) parts.push_back(part_of(word));
  return parts;
}

int number_of(const std::string& location) {
  if (location == "bar") return kBar;
  return location == "off" ? kOff : std::stoi(location);
}

/// The play with its parts in reverse order, each repeated instead of counted.
std::string reversed_text(const std::vector<TextPart>& parts) {
  std::string text;
  for (auto part = parts.rbegin(); part != parts.rend(); ++part) {
    for (int i = 0; i < part->count; ++i) text += part->once + " ";
  }
  return text;
}

std::string without_marks(std::string text) {
  text.erase(std::remove(text.begin(), text.end(), '*'), text.end());
  return text;
}

/// What is wrong with the text of a play; empty if nothing is.
std::string complaint_about(const Position& position, Roll roll, PlayKey play) {
  const std::string text = play_text(position, roll, play);
  if (parse_play(position, roll, text) != play) return text + " is read as another play";
  if (text == "no play") {
    return play.bits() == position.roller.bits() ? "" : "a play is written as none";
  }
  if (parse_play(position, roll, without_marks(text)) != play) {
    return text + " is read as another play without its marks";
  }
  const std::vector<TextPart> parts = parts_of(text);
  if (parse_play(position, roll, reversed_text(parts)) != play) {
    return text + " is read as another play in reverse order";
  }
  if (std::count(text.begin(), text.end(), '*') != std::popcount(play.hits())) {
    return text + " does not mark each hit once";
  }
  for (std::size_t i = 0; i < parts.size(); ++i) {
    if (parts[i].quiet_stop) return text + " stops where nothing is hit";
    if (i > 0 && number_of(parts[i - 1].origin) < number_of(parts[i].origin)) {
      return text + " is not ordered by origin";
    }
    for (const TextPart& other : parts) {
      if (parts[i].end == other.origin) return text + " does not join one checker's steps";
    }
  }
  return "";
}

/// Checks the texts of all plays of all rolls; returns how many there were.
int check_play_texts(const Position& position) {
  int checked = 0;
  PlayList plays;
  for (const Roll roll : kRolls) {
    generate_plays(position, roll, plays);
    for (const PlayKey play : plays) {
      const std::string complaint = complaint_about(position, roll, play);
      if (!complaint.empty()) {
        FAIL(position_text(position) << ", roll " << roll_text(roll) << ": " << complaint);
      }
      ++checked;
    }
  }
  return checked;
}

}  // namespace

TEST_CASE("Every play of random positions is read back from its text in any order of the parts") {
  std::mt19937_64 random(20240312);
  int checked = 0;
  for (int i = 0; i < 300; ++i) {
    checked += check_play_texts(oracle::random_position(random, kMaxCheckers));
  }
  for (int checkers = 1; checkers < kMaxCheckers; ++checkers) {
    for (int i = 0; i < 40; ++i) {
      checked += check_play_texts(oracle::random_position(random, checkers));
    }
  }
  CHECK(checked > 100'000);
}

TEST_CASE("Every play of every position of one checker a side is read back from its text") {
  for (const Position& position : oracle::all_positions(1, kPoints)) {
    if (!game_over(position)) check_play_texts(position);
  }
}

TEST_CASE("Plays are read and written in standard notation") {
  constexpr const char* kStart = "24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5";
  for (const PlayForm& form : {
           PlayForm{kStart, "51", "13/8 24/23", "24/23 13/8"},
           PlayForm{kStart, "51", "24/23 13/8", "24/23 13/8"},
           PlayForm{kStart, "31", "6/5 8/5", "8/5 6/5"},
           PlayForm{kStart, "65", "24/13", "24/13"},
           PlayForm{kStart, "65", "24/18/13", "24/13"},
           PlayForm{kStart, "65", "24/18 18/13", "24/13"},
           PlayForm{kStart, "65", "18/13 24/18", "24/13"},
           PlayForm{kStart, "11", "8/7(2) 6/5(2)", "8/7(2) 6/5(2)"},
           PlayForm{kStart, "11", "  6/5 8/7\t6/5  8/7 ", "8/7(2) 6/5(2)"},
           PlayForm{kStart, "11", "8/7(1) 8/7 6/5(2)", "8/7(2) 6/5(2)"},
           PlayForm{kStart, "66", "24/18(2) 13/7(2)", "24/18(2) 13/7(2)"},
           PlayForm{kStart, "44", "24/20/16 13/9 13/9", "24/16 13/9(2)"},
           PlayForm{"8 / 20", "31", "8/5*/4", "8/5*/4"},
           PlayForm{"8 / 20", "31", "8/5/4", "8/5*/4"},
           PlayForm{"8 / 20", "31", "8/5* 5/4", "8/5*/4"},
           PlayForm{"8 / 20", "31", "8/7/4", "8/4"},
           PlayForm{"8 / 20", "31", "8/4", "8/4"},
           PlayForm{"bar / 3 1x2", "31", "bar/22*/21", "bar/22*/21"},
           PlayForm{"bar / 3 1x2", "31", "bar/22/21", "bar/22*/21"},
           PlayForm{"barx2 13 / 3", "31", "bar/24 bar/22*", "bar/22* bar/24"},
           PlayForm{"bar / 6x2 3", "33", "bar/22*", "bar/22*"},
           PlayForm{"6x3 5 / 1", "66", "6/off(3) 5/off", "6/off(3) 5/off"},
           PlayForm{"6x2 / 1", "66", "6/off(2)", "6/off(2)"},
           PlayForm{"6x2 / 1", "66", "6/off 6/off", "6/off(2)"},
           PlayForm{"24x2 / 5 9x2", "44", "24/20*(2)", "24/20*(2)"},
           PlayForm{"24x2 / 5 9x2", "44", "24/20(2)", "24/20*(2)"},
           PlayForm{"24x2 / 5 9x2", "44", "24/20 24/20*", "24/20*(2)"},
           PlayForm{"bar / 6x2 3x2", "63", "no play", "no play"},
           PlayForm{"bar / 6x2 3x2", "63", " no play ", "no play"},
           PlayForm{"bar / 6x2 3x2", "63", "No Play", "no play"},
           PlayForm{"bar / 3 1x2", "31", "BAR/22*/21", "bar/22*/21"},
           PlayForm{"6x2 / 1", "66", "6/OFF(2)", "6/off(2)"},
           PlayForm{kStart, "31", "8/5,6/5", "8/5 6/5"},
           PlayForm{kStart, "31", "8/5 , 6/5", "8/5 6/5"},
       }) {
    INFO(form.position << ", " << form.roll << ": " << form.written);
    CHECK(shown_play(form) == form.shown);
  }
}

TEST_CASE("A play written past its hit is read only where one play can be meant") {
  // Both ways of 13/9 hit so that the text must name one.
  const Position both = parse_position("13 / 15 13");
  CHECK_THROWS_AS(parse_play(both, parse_roll("31"), "13/9"), InputError);
  CHECK(play_text(both, parse_roll("31"), parse_play(both, parse_roll("31"), "13/12/9")) ==
        "13/12*/9");
  // One way is blocked, the other hits.
  const Position one = parse_position("13 / 15 13x2");
  CHECK(play_text(one, parse_roll("31"), parse_play(one, parse_roll("31"), "13/9")) == "13/10*/9");
}

TEST_CASE("A play of more checkers than dice is refused at once") {
  // Tried in every order, these parts would take minutes.
  std::string parts;
  for (int i = 0; i < 20; ++i) parts += "24/23 13/12 8/7 6/5 ";
  for (const Roll roll : {parse_roll("21"), parse_roll("11")}) {
    CHECK_THROWS_WITH(parse_play(start_position(), roll, parts), Catch::Contains("legal play"));
  }
  CHECK_THROWS_AS(parse_play(start_position(), parse_roll("11"), "8/7(3) 6/5(2)"), InputError);
  CHECK_NOTHROW(parse_play(start_position(), parse_roll("11"), "8/7(2) 6/5(2)"));
}

TEST_CASE("A malformed play is refused with the place and what was expected") {
  const std::vector<Malformed> table{
      {"", "the text ends", "character 1", "13/8 24/23"},
      {"junk", "'junk'", "play 'junk', character 1", "13/8 24/23"},
      {"8", "the text ends", "play '8', character 2", "13/8 24/23"},
      {"8/", "the text ends", "character 3", "13/8 24/23"},
      {"8/5 6", "the text ends", "character 6", "13/8 24/23"},
      {"8-5 6-5", "'-5'", "character 2", "13/8 24/23"},
      {"8/x", "'x'", "character 3", "13/8 24/23"},
      {"8/5;6/5", "';6/5'", "character 4", "a blank between parts"},
      {"8/5** 6/5", "'*'", "character 5", "a blank between parts"},
      {"off/5", "'off/5'", "character 1", "13/8 24/23"},
      {"8/bar", "'bar'", "character 3", "13/8 24/23"},
      {"25/22", "25 is out of range", "character", "13/8 24/23"},
      {"8/0", "0 is out of range", "character", "6/off(2)"},
      {"5/8", "lower points only", "character", "13/8 24/23"},
      {"8/5/5", "lower points only", "character", "13/8 24/23"},
      {"bar/bar", "'bar'", "character 5", "13/8 24/23"},
      {"8/5(0)", "no count in brackets", "character", "(2), (3) or (4)"},
      {"8/5(5)", "no count in brackets", "character", "(2), (3) or (4)"},
      {"8/5()", "no count in brackets", "character", "(2), (3) or (4)"},
      {"8/5(2", "no count in brackets", "character", "(2), (3) or (4)"},
      {"No plays", "'No'", "character 1", "no play"},
  };
  for (const Malformed& row : table) {
    INFO("'" << row.text << "'");
    check_error(error_of([&] { (void)parse_play(start_position(), parse_roll("31"), row.text); }),
                row.complaint, row.where, row.expected);
  }
}

TEST_CASE("An illegal play is refused with the legal ones named") {
  for (const char* text : {"no play", "8/5", "8/4 6/5", "13/8 6/5", "24/22 6/5", "8/5* 6/5",
                           "8/5(2)", "bar/22 6/5", "24/off", "7/4 6/5"}) {
    INFO(text);
    const InputError error =
        error_of([&] { (void)parse_play(start_position(), parse_roll("31"), text); });
    check_error(error, "is not a legal play of 31", "play", "one of: ");
    CHECK_THAT(error.complaint(), Contains("'" + std::string(text) + "'"));
    for (const char* legal : {"24/23 13/10", "13/9", "8/5 6/5", "6/2"}) {
      CHECK_THAT(error.expected(), Contains(legal));
    }
  }
  const Position dancing = parse_position("bar / 6x2 3x2");
  check_error(error_of([&] { (void)parse_play(dancing, parse_roll("63"), "bar/22"); }),
              "is not a legal play of 63", "play", "one of: no play");
}

TEST_CASE(
    "Steps that the dice or the board do not allow are refused though the result is reachable") {
  struct Row {
    const char* position;
    const char* roll;
    const char* play;
  };
  const char* start = "24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5";
  for (const Row& row : {
           Row{start, "52", "8/4 6/3"},  // 8/3 6/4 with other steps
           Row{start, "41", "13/10/8"},  // 13/8 by a stop that no die reaches
           Row{"24x2 13x5 8x3 6x5 / 24x2 13x5 8x2 6x4 5x2", "64", "24/20/14"},  // a blocked stop
           Row{start, "21", "7/6(4) 7/6(4) 7/6(4) 7/6(4) 6/4"},  // nobody stands on the 7 point
       }) {
    INFO(row.play);
    const Position position = parse_position(row.position);
    CHECK_THROWS_AS((void)parse_play(position, parse_roll(row.roll), row.play), InputError);
  }
}

TEST_CASE("A line of plays leads from the start to a position") {
  struct Line {
    const char* text;
    const char* position;
  };
  for (const Line& line : {
           Line{"", "24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5"},
           Line{"  ", "24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5"},
           Line{"31: 8/5 6/5", "24x2 13x5 8x3 6x5 / 24x2 13x5 8x2 6x4 5x2"},
           Line{"31: 8/5 6/5, 64: 24/14", "24x2 13x5 8x2 6x4 5x2 / 24 14 13x5 8x3 6x5"},
           Line{"31: 8/5, 6/5, 6-4: 24/14", "24x2 13x5 8x2 6x4 5x2 / 24 14 13x5 8x3 6x5"},
           Line{" 13:6/5 8/5 ,46 :24/14", "24x2 13x5 8x2 6x4 5x2 / 24 14 13x5 8x3 6x5"},
           Line{"62: 24/18 13/11, 64: 13/7* 13/9",
                "bar 24 13x4 11 8x3 6x5 / 24x2 13x3 9 8x3 7 6x5"},
           Line{"62: 24/18 13/11, 64: 13/7 13/9, 66: no play",
                "24x2 13x3 9 8x3 7 6x5 / bar 24 13x4 11 8x3 6x5"},
       }) {
    INFO("'" << line.text << "'");
    CHECK(position_text(parse_line(line.text)) == line.position);
  }
}

TEST_CASE("A line of plays can begin games of fewer checkers") {
  CHECK(position_text(parse_line("", 3)) == "24 23 22 / 24 23 22");
  CHECK(position_text(parse_line("21: 24/22 23/22", 3)) == "24 23 22 / 22x3");
  // One checker a side: the first player is off at once and the game is over.
  CHECK(position_text(parse_line("66: 24/off", 1)) == "24 / ");
}

TEST_CASE("A malformed line of plays is refused with the number of the play") {
  const std::vector<Malformed> table{
      {"31 8/5 6/5", "no colon", "play 1", "31: 8/5 6/5"},
      {",", "no colon", "play 1", "31: 8/5 6/5"},
      {"31: 8/5 6/5, 64 24/14", "'64 24/14'", "line of plays, play 2", "31: 8/5 6/5"},
      {"31: 8/5 6/5,", "nothing after the last comma", "play 1", "another play"},
      {"37: 8/5 6/5", "'37' is not a roll", "play 1, dice", "two digits from 1 to 6"},
      {"31: 8/5 6/5, : 24/14", "'' is not a roll", "play 2, dice", "two digits from 1 to 6"},
      {"31: 8/5 6/5, 64: 24-14", "'-14'", "play 2, play '24-14', character 3", "13/8 24/23"},
      {"31: 8/5 6/5, 64: 24/15", "not a legal play of 64", "play 2, play", "24/14"},
      {"31: 8/5 6/5, 64:", "the text ends", "play 2", "13/8 24/23"},
      {"31: no play", "not a legal play of 31", "play 1", "8/5 6/5"},
  };
  for (const Malformed& row : table) {
    INFO("'" << row.text << "'");
    check_error(error_of([&] { (void)parse_line(row.text); }), row.complaint, row.where,
                row.expected);
  }
  check_error(error_of([] { (void)parse_line("66: 24/off, 66: 24/off", 1); }),
              "the game is over before it", "play 2", "");
}

}  // namespace sixfold
