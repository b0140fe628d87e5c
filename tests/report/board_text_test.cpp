// Boards and bars of the text reports.
#include "report/text/board_text.h"

#include <algorithm>
#include <array>
#include <catch2/catch.hpp>
#include <cmath>
#include <numeric>
#include <random>
#include <sstream>
#include <vector>

#include "oracles/random_positions.h"
#include "report/text/bars.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

/// A line's columns, a code point each.
std::vector<std::string> columns_of(const std::string& line) {
  std::vector<std::string> columns;
  for (const char byte : line) {
    if ((static_cast<unsigned char>(byte) & 0xc0u) != 0x80u) columns.emplace_back();
    columns.back() += byte;
  }
  return columns;
}

using Drawing = std::vector<std::vector<std::string>>;

Drawing drawn(const std::string& text) {
  std::istringstream in(text);
  Drawing lines;
  for (std::string line; std::getline(in, line);) lines.push_back(columns_of(line));
  return lines;
}

/// The drawing's column of a place among twelve, or of the bar.
constexpr std::size_t kBarColumn = 23;
constexpr std::size_t column_of(int place) {
  return static_cast<std::size_t>(3 + 3 * place + (place < 6 ? 0 : 7));
}

/// The checkers in five lines of a column: those drawn, or what the number among them says. A
/// stack's foot is at the edge of the board, on the bar at the middle.
int count_in(const Drawing& lines, std::size_t column, bool upper, const std::string& checker) {
  int seen = 0;
  int number = 0;
  const std::size_t foot = column == kBarColumn ? (upper ? 6 : 8) : (upper ? 2 : 12);
  for (std::size_t line = upper ? 2 : 8; line < (upper ? 7u : 13u); ++line) {
    const std::string text = lines[line][column - 1] + lines[line][column];
    if (lines[line][column] == checker) ++seen;
    if (std::isdigit(static_cast<unsigned char>(text.back())) == 0) continue;
    number = std::stoi(text);
    CHECK(line == foot);
  }
  if (number == 0) return seen;
  // The number takes the place of the first of more checkers.
  CHECK((seen == 0 || (seen == 4 && number > 5)));
  return seen == 0 ? 0 : number;
}

/// What stands on a point, by the drawing alone.
int roller_on(const Drawing& lines, int point) {
  const bool upper = point > 12;
  return count_in(lines, column_of(upper ? point - 13 : 12 - point), upper, kRollerChecker);
}
int opponent_on(const Drawing& lines, int point) {
  const bool upper = point > 12;
  return count_in(lines, column_of(upper ? point - 13 : 12 - point), upper, kOpponentChecker);
}

std::string off_text(const Side& side) {
  return "off " + std::string(side.borne_off() < 10 ? " " : "") + std::to_string(side.borne_off()) +
         " of " + std::to_string(side.total());
}

void check_board(const Position& position) {
  INFO(position_text(position));
  const std::string text = board_text(position, std::nullopt, std::nullopt);
  INFO(text);
  const Drawing lines = drawn(text);
  REQUIRE(lines.size() == 15 + 2);
  for (const auto& line : lines) CHECK(line.size() <= 80);
  for (int point = 1; point <= kPoints; ++point) {
    CHECK(roller_on(lines, point) == position.roller[point]);
    CHECK(opponent_on(lines, point) == position.opponent[mirrored(point)]);
  }
  CHECK(count_in(lines, kBarColumn, true, kRollerChecker) == position.roller[kBar]);
  CHECK(count_in(lines, kBarColumn, false, kRollerChecker) == 0);
  CHECK(count_in(lines, kBarColumn, false, kOpponentChecker) == position.opponent[kBar]);
  CHECK(count_in(lines, kBarColumn, true, kOpponentChecker) == 0);
  CHECK_THAT(text, Catch::Contains(off_text(position.roller)));
  CHECK_THAT(text, Catch::Contains(off_text(position.opponent)));
}

OutcomeDistribution outcomes(const std::array<double, kOutcomeCount>& probability) {
  return OutcomeDistribution{probability};
}

}  // namespace

TEST_CASE("The start is drawn from the roller's side, with roll and cube") {
  const std::string expected =
      "  13 14 15 16 17 18   bar  19 20 21 22 23 24\n"
      "╭───────────────────┬────┬───────────────────╮\n"
      "│  ●  ·  ·  ·  ○  · │    │  ○  ·  ·  ·  ·  ● │\n"
      "│  ●           ○    │    │  ○              ● │\n"
      "│  ●           ○    │    │  ○                │\n"
      "│  ●                │    │  ○                │\n"
      "│  ●                │    │  ○                │\n"
      "│                   │    │                   │\n"
      "│  ○                │    │  ●                │\n"
      "│  ○                │    │  ●                │\n"
      "│  ○           ●    │    │  ●                │\n"
      "│  ○           ●    │    │  ●              ○ │\n"
      "│  ○  ·  ·  ·  ●  · │    │  ●  ·  ·  ·  ·  ○ │\n"
      "╰───────────────────┴────┴───────────────────╯\n"
      "  12 11 10  9  8  7   bar   6  5  4  3  2  1\n"
      "● roller, moves from 24 to 1    pips 167  off  0 of 15\n"
      "○ opponent, moves from 1 to 24  pips 167  off  0 of 15\n"
      "  roll 31  cube 1 centred\n";
  CHECK(board_text(parse_position("24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5"), parse_roll("31"),
                   Cube{}) == expected);
}

TEST_CASE("High stacks, full bars and everything borne off are drawn") {
  for (const char* text : {"barx15 / 6x15", "6x15 / 24x15", "barx2 24x6 1x7 / barx7 23x6",
                           "13x6 12x9 / 23x15", "1x10 / 1x11", "/ 6x2", "6x2 /", "5 4 3 / 2 1"}) {
    check_board(parse_position(text));
  }
  check_board(parse_position("24 3 1 / 23 5", 3));
}

TEST_CASE("A board shows every checker of random positions once") {
  std::mt19937_64 random(20);
  for (const int checkers : {1, 3, 8, 15}) {
    for (int i = 0; i < 100; ++i) {
      const Position position = oracle::random_position(random, checkers);
      check_board(position);
      check_board(swapped(position));
    }
  }
}

TEST_CASE("A cube stands with whom it belongs to, and there is no word of it without one") {
  const Position position = parse_position("6x2 5 / 4x2 3");
  const auto with = [&](const Cube& cube) { return board_text(position, std::nullopt, cube); };
  CHECK_THAT(with({2, CubeOwner::kOpponent}),
             Catch::Contains("opponent, moves from 1 to 24  pips  11  off 12 of 15  cube 2\n"));
  CHECK_THAT(with({64, CubeOwner::kRoller}),
             Catch::Contains("roller, moves from 24 to 1    pips  17  off 12 of 15  cube 64\n"));
  CHECK_THAT(with({1, CubeOwner::kCentred}), Catch::EndsWith("15\n  cube 1 centred\n"));
  const std::string without = board_text(position, std::nullopt, std::nullopt);
  CHECK_THAT(without, !Catch::Contains("cube"));
  CHECK_THAT(without, !Catch::Contains("roll "));
}

TEST_CASE("A bar's blocks are as many as the bar is long") {
  std::mt19937_64 random(7);
  for (int i = 0; i < 2000; ++i) {
    OutcomeDistribution shares;
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      // Squares, so that some are rare.
      shares[o] = std::pow(static_cast<double>(1 + random() % 1000), 2);
    }
    const double all = std::accumulate(shares.probability.begin(), shares.probability.end(), 0.0);
    for (const int length : {1, 7, 25, 50}) {
      const auto blocks = blocks_of(shares, length);
      CHECK(std::accumulate(blocks.begin(), blocks.end(), 0) == length);
      for (std::size_t o = 0; o < kOutcomeCount; ++o) {
        CHECK(std::abs(blocks[o] - length * shares[o] / all) < 1.0 + 1e-9);
      }
      CHECK(columns_of(outcome_bar(shares, length)).size() == static_cast<std::size_t>(length));
    }
  }
}

TEST_CASE("What a bar leaves over goes to the largest remainders") {
  using Blocks = std::array<int, kOutcomeCount>;
  // In blocks: .4, 8.6, 19.8, 16.9, 4.2, .1.
  CHECK(blocks_of(outcomes({0.008, 0.172, 0.396, 0.338, 0.084, 0.002}), 50) ==
        Blocks{0, 9, 20, 17, 4, 0});
  CHECK(blocks_of(outcomes({0.0, 0.0, 0.0, 1.0, 0.0, 0.0}), 50) == Blocks{0, 0, 0, 50, 0, 0});
  CHECK(blocks_of(outcomes({-0.001, 0.001, 0.5, 0.5, 0.0, 0.0}), 10) == Blocks{0, 0, 5, 5, 0, 0});
  CHECK(outcome_bar(outcomes({0.1, 0.1, 0.3, 0.2, 0.2, 0.1}), 10) == "▓▒░░░▂▂▅▅█");
}

TEST_CASE("Bars stand below one another and fit beside long names") {
  const OutcomeDistribution even = outcomes({0.0, 0.0, 0.5, 0.5, 0.0, 0.0});
  for (const std::size_t length : {5u, 20u, 24u, 25u, 49u}) {
    const Drawing lines =
        drawn(outcome_bars({{0, std::string(length, 'p'), even}, {3, "13/8", even}}));
    REQUIRE(lines.size() == 4);
    for (const auto& line : lines) CHECK(line.size() <= 80);
    CHECK(lines[1].size() == lines[2].size());
    CHECK(lines[2][1] == "4");
  }
}

}  // namespace sixfold
