#include "rules/notation.h"

#include <algorithm>
#include <bit>
#include <catch2/catch.hpp>
#include <cstdint>
#include <random>
#include <sstream>
#include <string>
#include <vector>

#include "oracles/random_positions.h"
#include "rules/input_error.h"
#include "rules/start.h"

namespace sixfold {
namespace {

using Catch::Matchers::Contains;

/// The error of a call that must throw InputError.
template <typename Call>
InputError error_of(Call call) {
  try {
    call();
  } catch (const InputError& error) {
    return error;
  }
  FAIL("no InputError");
  return {"", "", ""};
}

/// Checks the parts of an error, and that the message holds all three.
void check_error(const InputError& error, const char* complaint, const char* where,
                 const char* expected) {
  CHECK_THAT(error.complaint(), Contains(complaint));
  CHECK_THAT(error.where(), Contains(where));
  CHECK_THAT(error.expected(), Contains(expected));
  const std::string message = error.what();
  CHECK_THAT(message, Contains(error.complaint()));
  CHECK_THAT(message, Contains(error.where()));
  CHECK_THAT(message, Contains(error.expected()));
}

struct Malformed {
  const char* text;
  const char* complaint;
  const char* where;
  const char* expected;
};

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

TEST_CASE("A position's text is read back as the same position") {
  std::mt19937_64 random(20240311);
  for (int i = 0; i < 20'000; ++i) {
    const int checkers = 1 + static_cast<int>(random() % kMaxCheckers);
    const Position position = oracle::random_position(random, checkers);
    const std::string text = position_text(position);
    if (parse_position(text, checkers) != position) FAIL(text << " with " << checkers);
    // The text itself does not tell how many are borne off.
    if (position_text(parse_position(text)) != text) FAIL(text);
  }
}

TEST_CASE("A finished game has an empty side that is read back") {
  const Position won = parse_position("6x2 / ");
  CHECK(won.roller[6] == 2);
  CHECK(won.roller.borne_off() == 13);
  CHECK(won.opponent.all_off());
  CHECK(won.opponent.borne_off() == 15);
  CHECK(position_text(won) == "6x2 / ");
  CHECK(parse_position("6x2/") == won);
  CHECK(parse_position(" / 6x2") == swapped(won));
  CHECK(position_text(swapped(won)) == " / 6x2");
}

TEST_CASE("A position is written with the bar first and the points descending") {
  struct Form {
    const char* read;
    const char* written;
  };
  for (const Form& form : {
           Form{"24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5", "24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5"},
           Form{"6x5 8x3 13x5 24x2 / 6x5 24x2 8x3 13x5", "24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5"},
           Form{"6 bar 24 / 2 barx3 3x1", "bar 24 6 / barx3 3 2"},
           Form{"  6x2\t5 /\n4  ", "6x2 5 / 4"},
           Form{"6x2/4", "6x2 / 4"},
           Form{"24x15 / 24x15", "24x15 / 24x15"},
           Form{"barx15 / barx15", "barx15 / barx15"},
       }) {
    INFO(form.read);
    CHECK(position_text(parse_position(form.read)) == form.written);
  }
  CHECK(parse_position("24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5") == start_position());
}

TEST_CASE("Checkers that are not listed are borne off") {
  CHECK(parse_position("6x2 / 4").roller.borne_off() == 13);
  CHECK(parse_position("6x2 / 4").opponent.borne_off() == 14);
  CHECK(parse_position("6x2 / 4", 3).roller.borne_off() == 1);
  CHECK(parse_position("6x2 / 4", 3).opponent.borne_off() == 2);
}

TEST_CASE("A malformed position is refused with the place and what was expected") {
  const std::vector<Malformed> table{
      {"", "one side only", "position, character 1", "ROLLER / OPPONENT"},
      {"24 6", "one side only", "position, character 5", "ROLLER / OPPONENT"},
      {"hello / 6", "'hello'", "position, character 1", "points 24..1 or bar"},
      {"-3 / 6", "'-3'", "position, character 1", "points 24..1 or bar"},
      {"24y2 / 6", "'y2'", "position, character 3", "points 24..1 or bar"},
      {"24x2x3 / 6", "'x3'", "position, character 5", "points 24..1 or bar"},
      {"6,5 / 4", "',5'", "position, character 2", "points 24..1 or bar"},
      {"6X2 / 5", "'X2'", "position, character 2", "points 24..1 or bar"},
      {"6 / barr", "'r'", "position, character 8", "points 24..1 or bar"},
      {"6off / 5", "'off'", "position, character 2", "points 24..1 or bar"},
      {"6 / 6 x", "'x'", "position, character 7", "points 24..1 or bar"},
      {"24x / 6", "no count after x", "position, character 4", "1 to 15"},
      {"24x 2 / 6", "no count after x", "position, character 4", "1 to 15"},
      {"24x0 / 6", "count", "position, character", "1 to 15"},
      {"6 / 6 / 6", "'/'", "position, character 7", "one '/' between two sides"},
      {"25x2 / 6", "25 is out of range", "position, character", "1 to 24"},
      {"0 / 6", "0 is out of range", "position, character", "1 to 24"},
      {"6 / 13 99", "99 is out of range", "position, character", "1 to 24"},
      {"24x16 / 6", "the side on roll has more than 15", "position, character", "15 at most"},
      {"6x99999999999 / 4", "the side on roll has more than 15", "position", "15 at most"},
      {"24x10 23x6 / 6", "the side on roll has more than 15", "position", "15 at most"},
      {"6 / 24x15 23", "the opponent has more than 15", "position, character", "15 at most"},
      {"24 / 1", "both sides stand on the roller's point 24", "position", "each point to one side"},
      {"6 5 / 24 20x2", "point 5 (the opponent's 20)", "position", "each point to one side"},
      {"/", "both sides have all their checkers off", "position", "at least one checker"},
  };
  for (const Malformed& row : table) {
    INFO("'" << row.text << "'");
    check_error(error_of([&] { (void)parse_position(row.text); }), row.complaint, row.where,
                row.expected);
  }
}

TEST_CASE("A position has no more checkers than the game") {
  CHECK_NOTHROW(parse_position("24 23 22 / 24 23 22", 3));
  check_error(error_of([] { (void)parse_position("24x2 23 22 / 24", 3); }),
              "the side on roll has more than 3", "position", "3 at most");
  check_error(error_of([] { (void)parse_position("24 / 24x2", 1); }),
              "the opponent has more than 1 ", "position", "1 at most");
}

TEST_CASE("Every roll is read in either order and written with the larger die first") {
  for (const Roll roll : kRolls) {
    const std::string text = roll_text(roll);
    CHECK(text ==
          std::string{static_cast<char>('0' + roll.high), static_cast<char>('0' + roll.low)});
    CHECK(parse_roll(text) == roll);
    CHECK(parse_roll(std::string(text.rbegin(), text.rend())) == roll);
  }
}

TEST_CASE("A malformed roll is refused with what was expected") {
  for (const char* text : {"", "4", "431", "07", "10", "37", "4-3", "a3", "4 3", " 43", "43 "}) {
    INFO("'" << text << "'");
    const InputError error = error_of([&] { (void)parse_roll(text); });
    check_error(error, "is not a roll", "dice", "two digits from 1 to 6");
    CHECK_THAT(error.complaint(), Contains("'" + std::string(text) + "'"));
  }
}

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

TEST_CASE("A malformed play is refused with the place and what was expected") {
  const std::vector<Malformed> table{
      {"", "the text ends", "character 1", "13/8 24/23"},
      {"junk", "'junk'", "play 'junk', character 1", "13/8 24/23"},
      {"8", "the text ends", "play '8', character 2", "13/8 24/23"},
      {"8/", "the text ends", "character 3", "13/8 24/23"},
      {"8/5 6", "the text ends", "character 6", "13/8 24/23"},
      {"8-5 6-5", "'-5'", "character 2", "13/8 24/23"},
      {"8/x", "'x'", "character 3", "13/8 24/23"},
      {"8/5,6/5", "',6/5'", "character 4", "a blank between parts"},
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
      {"No play", "'No'", "character 1", "no play"},
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
