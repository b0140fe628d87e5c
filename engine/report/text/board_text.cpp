#include "report/text/board_text.h"

#include "base/format.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

/// Lines of a stack.
constexpr int kStack = 5;
/// Lines between the borders: two stacks and a free line in the middle.
constexpr int kLines = 2 * kStack + 1;

/// Checkers as they are drawn.
struct Checkers {
  std::string roller;
  std::string opponent;
};

/// What stands at a place of a stack, in three columns; places are counted from its foot.
std::string cell(int count, const std::string& checker, int place) {
  if (place == 0 && count > kStack) return format("{:3}", count);
  return place < count ? "  " + checker : "   ";
}

std::string point_cell(const Position& position, const Checkers& checkers, int point, int place) {
  const int own = position.roller[point];
  const int other = position.opponent[mirrored(point)];
  if (own == 0 && other == 0 && place == 0) return "  ·";
  return own > 0 ? cell(own, checkers.roller, place) : cell(other, checkers.opponent, place);
}

/// The point at one of twelve places from left to right.
int point_at(bool upper, int column) { return upper ? 13 + column : 12 - column; }

std::string point_numbers(bool upper) {
  std::string text = " ";
  for (int column = 0; column < 12; ++column) {
    if (column == 6) text += "   bar ";
    text += format("{:3}", point_at(upper, column));
  }
  return text + "\n";
}

std::string border(const char* left, const char* bar, const char* right) {
  const auto rule = [](int columns) {
    std::string text;
    for (int i = 0; i < columns; ++i) text += "─";
    return text;
  };
  return left + rule(19) + bar + rule(4) + bar + rule(19) + right + "\n";
}

/// The board between the borders, from the uppermost line, 0, down.
std::string board_line(const Position& position, const Checkers& checkers, int line) {
  const bool upper = line < kStack;
  const bool middle = line == kStack;
  const int place = upper ? line : kLines - 1 - line;
  std::string text = "│";
  for (int column = 0; column < 12; ++column) {
    if (column == 6) {
      // On the bar a stack's foot is at the middle.
      const int on_bar = (upper ? position.roller : position.opponent)[kBar];
      text +=
          " │" +
          (middle ? std::string("   ")
                  : cell(on_bar, upper ? checkers.roller : checkers.opponent, kStack - 1 - place)) +
          " │";
    }
    text += middle ? "   " : point_cell(position, checkers, point_at(upper, column), place);
  }
  return text + " │";
}

/// A side's line below the board: whose checkers these are, and how far they have to go.
std::string side_note(const std::string& checker, const char* who, const Side& side) {
  return checker +
         format(" {}  pips {:3}  off {:2} of {}", who, side.pips(), side.borne_off(), side.total());
}

/// What is told below the board.
std::string notes(const Position& position, const Checkers& checkers,
                  const std::optional<Roll>& roll, const std::optional<Cube>& cube) {
  const auto cube_of = [&](CubeOwner owner) {
    return cube && cube->owner == owner ? format("  cube {}", cube->value) : std::string();
  };
  std::string text =
      side_note(checkers.roller, "roller, moves from 24 to 1  ", position.roller) +
      cube_of(CubeOwner::kRoller) + "\n" +
      side_note(checkers.opponent, "opponent, moves from 1 to 24", position.opponent) +
      cube_of(CubeOwner::kOpponent) + "\n";
  std::string last = roll ? "  roll " + roll_text(*roll) : std::string();
  if (cube && cube->owner == CubeOwner::kCentred) last += cube_of(cube->owner) + " centred";
  return last.empty() ? text : text + last + "\n";
}

}  // namespace

std::string board_text(const Position& position, const std::optional<Roll>& roll,
                       const std::optional<Cube>& cube, TextStyle style) {
  const Checkers checkers{roller_checker(style), opponent_checker(style)};
  std::string text = point_numbers(true) + border("╭", "┬", "╮");
  for (int line = 0; line < kLines; ++line) text += board_line(position, checkers, line) + "\n";
  return text + border("╰", "┴", "╯") + point_numbers(false) +
         notes(position, checkers, roll, cube);
}

}  // namespace sixfold
