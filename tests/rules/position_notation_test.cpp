#include <catch2/catch.hpp>
#include <random>
#include <string>

#include "oracles/random_positions.h"
#include "rules/error_checks.h"
#include "rules/notation.h"
#include "rules/start.h"

namespace sixfold {

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
           Form{"24(2) 6(1) / 5(15)", "24x2 6 / 5x15"},
           Form{"BAR 24X2 / Barx2,6,5", "bar 24x2 / barx2 6 5"},
           Form{"24x2,13x5, 8x3 ,6x5 / 6", "24x2 13x5 8x3 6x5 / 6"},
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
      {"6;5 / 4", "';5'", "position, character 2", "points 24..1 or bar"},
      {"6Y2 / 5", "'Y2'", "position, character 2", "points 24..1 or bar"},
      {"6() / 5", "no count in brackets", "position, character 3", "1 to 15"},
      {"6(2 / 5", "no closing bracket", "position, character 4", "such as 24(2)"},
      {"6(0) / 5", "a count of 0", "position, character 3", "1 to 15"},
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

TEST_CASE("The opponent's points may have the roller's numbers") {
  const auto read = [](const char* text) {
    return position_text(parse_position(text, kMaxCheckers, Numbering::kRollers));
  };
  CHECK(read("24x2 13x5 8x3 6x5 / 1x2 12x5 17x3 19x5") == "24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5");
  CHECK(read("bar 6 / bar 24") == "bar 6 / bar 1");
  check_error(error_of([] { (void)parse_position("6 / 6", 15, Numbering::kRollers); }),
              "both sides stand on the roller's point 6", "position", "each point to one side");
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

TEST_CASE("The dice of a roll may be parted") {
  for (const char* text : {"4-3", "4,3", "4 3", "3 - 4", " 43", "43 "}) {
    INFO("'" << text << "'");
    CHECK(parse_roll(text) == make_roll(4, 3));
  }
}

TEST_CASE("A malformed roll is refused with what was expected") {
  for (const char* text : {"", "4", "431", "07", "10", "37", "4--3", "a3", "4-", "4/3", "43,"}) {
    INFO("'" << text << "'");
    const InputError error = error_of([&] { (void)parse_roll(text); });
    check_error(error, "is not a roll", "dice", "two digits from 1 to 6");
    CHECK_THAT(error.complaint(), Contains("'" + std::string(text) + "'"));
  }
}

}  // namespace sixfold
