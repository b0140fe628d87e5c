#include "report/text/board_text.h"

#include <array>

#include "base/format.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

/// Lines of a stack.
constexpr int kStack = 5;
/// Lines between the borders: two stacks and a free line in the middle.
constexpr int kLines = 2 * kStack + 1;

using Notes = std::array<std::string, kLines>;

/// What stands at a place of a stack, in three columns; places are counted from its foot.
std::string cell(int count, const char* checker, int place) {
  if (place == kStack - 1 && count > kStack) return format("%3d", count);
  return place < count ? std::string("  ") + checker : "   ";
}

std::string point_cell(const Position& position, int point, int place) {
  const int own = position.roller[point];
  const int other = position.opponent[mirrored(point)];
  if (own == 0 && other == 0 && place == 0) return "  ·";
  return own > 0 ? cell(own, kRollerChecker, place) : cell(other, kOpponentChecker, place);
}

/// The point at one of twelve places from left to right.
int point_at(bool upper, int column) { return upper ? 13 + column : 12 - column; }

std::string point_numbers(bool upper) {
  std::string text = " ";
  for (int column = 0; column < 12; ++column) {
    if (column == 6) text += "   bar ";
    text += format("%3d", point_at(upper, column));
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
std::string board_line(const Position& position, int line) {
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
                  : cell(on_bar, upper ? kRollerChecker : kOpponentChecker, kStack - 1 - place)) +
          " │";
    }
    text += middle ? "   " : point_cell(position, point_at(upper, column), place);
  }
  return text + " │";
}

std::string owned_cube(const std::optional<Cube>& cube, CubeOwner owner) {
  return cube && cube->owner == owner ? format("  cube %4d", cube->value) : std::string();
}

/// What is told beside the board, line by line.
Notes notes_of(const Position& position, const std::optional<Roll>& roll,
               const std::optional<Cube>& cube) {
  const auto pips = [](const Side& side) { return format("  pips %4d", side.pips()); };
  const auto off = [](const Side& side) {
    return format("  off  %4d of %d", side.borne_off(), side.total());
  };
  Notes notes;
  notes[0] = std::string(kOpponentChecker) + " opponent, moves from 1 to 24";
  notes[1] = pips(position.opponent);
  notes[2] = off(position.opponent);
  notes[3] = owned_cube(cube, CubeOwner::kOpponent);
  if (cube && cube->owner == CubeOwner::kCentred) {
    notes[5] = format("  cube %4d centred", cube->value);
  }
  notes[6] = std::string(kRollerChecker) + " roller, moves from 24 to 1";
  notes[7] = pips(position.roller);
  notes[8] = off(position.roller);
  notes[9] = owned_cube(cube, CubeOwner::kRoller);
  if (roll) notes[10] = "  roll   " + roll_text(*roll);
  return notes;
}

}  // namespace

std::string board_text(const Position& position, const std::optional<Roll>& roll,
                       const std::optional<Cube>& cube) {
  const Notes notes = notes_of(position, roll, cube);
  std::string text = point_numbers(true) + border("╭", "┬", "╮");
  for (int line = 0; line < kLines; ++line) {
    const std::string& note = notes[static_cast<std::size_t>(line)];
    text += board_line(position, line) + (note.empty() ? "" : "  " + note) + "\n";
  }
  return text + border("╰", "┴", "╯") + point_numbers(false);
}

}  // namespace sixfold
