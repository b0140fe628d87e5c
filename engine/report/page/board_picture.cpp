#include "report/page/board_picture.h"

#include <algorithm>
#include <utility>
#include <vector>

#include "base/markup.h"
#include "report/page/styles.h"
#include "report/words/notes.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

// Across: a tray for the cube, six slots, the bar, six slots, a tray for what is borne off.
constexpr double kWidth = 640;
constexpr double kSlot = 40;
constexpr double kLeft = 60;
constexpr double kBarWidth = 44;
constexpr double kRightHalf = kLeft + 6 * kSlot + kBarWidth;
constexpr double kRight = kRightHalf + 6 * kSlot;
constexpr double kBarX = kLeft + 6 * kSlot + kBarWidth / 2;
constexpr double kTrayX = kRight + 30;
// Downwards: numbers, slots, the middle, slots, numbers.
constexpr double kTop = 30;
constexpr double kSlotLength = 176;
constexpr double kMiddle = 44;
constexpr double kBottom = kTop + 2 * kSlotLength + kMiddle;
constexpr double kCentre = (kTop + kBottom) / 2;
constexpr double kHeight = kBottom + kTop;

constexpr double kRadius = 17;
constexpr int kMostDiscs = 5;
constexpr double kSlab = 10;

double slot_x(int point) {
  const int column = point <= 12 ? 12 - point : point - 13;
  return (column < 6 ? kLeft + kSlot * column : kRightHalf + kSlot * (column - 6)) + kSlot / 2;
}

/// One player's checkers in one place.
struct Stack {
  double x;
  double first_y;  ///< Centre of the first.
  double step;     ///< To the next: downwards or upwards.
  int count;
  int arrived = 0;  ///< Of them, since the position before.
  int gone = 0;     ///< Since then.
};

std::string disc(double x, double y, bool is_roller) {
  if (is_roller) return circle(x, y, kRadius, "disc roller");
  return circle(x, y, kRadius, "disc opponent") + circle(x, y, kRadius - 6, "ring");
}

std::string stack_svg(const Stack& stack, bool is_roller) {
  std::string svg;
  const int shown = std::min(stack.count, kMostDiscs);
  for (int i = 0; i < shown; ++i) {
    const double y = stack.first_y + stack.step * i;
    svg += disc(stack.x, y, is_roller);
    if (shown - i <= stack.arrived) svg += circle(stack.x, y, kRadius - 1, "arrived");
  }
  // Above the stack, and where there is no room left, on its last discs.
  for (int i = 0; i < stack.gone; ++i) {
    const int place = std::min(shown, kMostDiscs - stack.gone) + i;
    if (place < 0) continue;
    svg += circle(stack.x, stack.first_y + stack.step * place, kRadius - 2, "gone");
  }
  if (stack.count > kMostDiscs) {
    const double y = stack.first_y + stack.step * (kMostDiscs - 1);
    svg += label(stack.x, y + 6, is_roller ? "count middle on-roller" : "count middle on-opponent",
                 std::to_string(stack.count));
  }
  return svg;
}

/// `before` is the side as it stood; equal to `side` where nothing is marked.
std::string side_svg(const Side& side, const Side& before, bool is_roller) {
  std::string svg;
  for (int location = 1; location <= kBar; ++location) {
    const int count = side[location];
    const int change = count - before[location];
    // What the opponent loses has been hit: where it stood there is a checker now.
    const int gone = is_roller ? std::max(-change, 0) : 0;
    if (count + gone == 0) continue;
    Stack stack{kBarX, 0, 0, count, std::max(change, 0), gone};
    if (location == kBar) {
      stack.first_y = kCentre + (is_roller ? 40 : -40);
      stack.step = is_roller ? 2 * kRadius : -2 * kRadius;
    } else {
      const int point = is_roller ? location : kPoints + 1 - location;
      const bool is_low = point <= 12;
      stack.x = slot_x(point);
      stack.first_y = is_low ? kBottom - 3 - kRadius : kTop + 3 + kRadius;
      stack.step = is_low ? -2 * kRadius : 2 * kRadius;
    }
    svg += stack_svg(stack, is_roller);
  }
  const int off = side.borne_off();
  for (int i = 0; i < off; ++i) {
    const double y = is_roller ? kBottom - 2 - (kSlab + 1) * (i + 1) : kTop + 3 + (kSlab + 1) * i;
    const bool arrived = i >= before.borne_off();
    svg += rectangle(kTrayX - 20, y, 40, kSlab, is_roller ? "disc roller" : "disc opponent", 3);
    if (arrived) svg += rectangle(kTrayX - 20, y, 40, kSlab, "arrived", 3);
  }
  if (off > 0) {
    svg += label(kTrayX, is_roller ? kHeight - 9 : kTop - 9, "number middle",
                 std::to_string(off) + " off");
  }
  return svg;
}

std::string field_svg() {
  std::string svg = rectangle(4, kTop - 4, kWidth - 8, kBottom - kTop + 8, "frame", 10) +
                    rectangle(kLeft, kTop, 6 * kSlot, kBottom - kTop, "outer") +
                    rectangle(kRightHalf, kTop, 6 * kSlot, kBottom - kTop, "home");
  for (int point = 1; point <= kPoints; ++point) {
    const double y = point <= 12 ? kBottom - kSlotLength : kTop;
    svg += rectangle(slot_x(point) - kSlot / 2 + 3, y, kSlot - 6, kSlotLength,
                     point % 2 == 0 ? "slot even" : "slot odd", 12);
    svg += label(slot_x(point), point <= 12 ? kHeight - 9 : kTop - 9, "number middle",
                 std::to_string(point));
  }
  return svg;
}

constexpr double kSide = 34;  // of a die

std::string die_svg(double x, double y, int eyes) {
  constexpr double kStep = 9;
  std::string svg = rectangle(x - kSide / 2, y - kSide / 2, kSide, kSide, "disc roller", 7);
  const auto eye = [&](int column, int row) {
    svg += circle(x + kStep * column, y + kStep * row, 3.2, "eye");
  };
  if (eyes % 2 == 1) eye(0, 0);
  for (const int sign : {-1, 1}) {
    if (eyes >= 2) eye(sign, -sign);
    if (eyes >= 4) eye(sign, sign);
    if (eyes == 6) eye(sign, 0);
  }
  return svg;
}

std::string cube_svg(const Cube& cube) {
  const double y = cube.owner == CubeOwner::kRoller     ? kBottom - 56
                   : cube.owner == CubeOwner::kOpponent ? kTop + 56
                                                        : kCentre;
  return rectangle(32 - 18, y - 18, 36, 36, "cube", 5) +
         label(32, y + 7, "cube-value middle", std::to_string(cube.value));
}

std::string pips_svg(const Side& side, bool is_roller) {
  const double y = is_roller ? kBottom - 20 : kTop + 14;
  return label(32, y, "number middle", std::to_string(side.pips())) +
         label(32, y + 16, "small middle", "pips");
}

std::string board_content(const BoardPicture& board) {
  const Position& before = board.before ? *board.before : board.position;
  std::string svg = field_svg() + pips_svg(board.position.opponent, false) +
                    pips_svg(board.position.roller, true) +
                    side_svg(board.position.opponent, before.opponent, false) +
                    side_svg(board.position.roller, before.roller, true);
  if (board.roll) {
    const double x = kRightHalf + 3 * kSlot;
    svg += die_svg(x - 22, kCentre, board.roll->high) + die_svg(x + 22, kCentre, board.roll->low);
  }
  if (board.cube) svg += cube_svg(*board.cube);
  return svg;
}

std::string side_words(const Side& side) {
  std::string text;
  for (int location = kBar; location >= 1; --location) {
    if (side[location] == 0) continue;
    text += (text.empty() ? "" : ", ") + std::to_string(side[location]) +
            (location == kBar ? " on the bar" : " on " + std::to_string(location));
  }
  if (side.borne_off() > 0) {
    text += (text.empty() ? "" : ", ") + std::to_string(side.borne_off()) + " borne off";
  }
  return text + "; " + std::to_string(side.pips()) + " pips";
}

}  // namespace

BoardPicture picture_after(const Position& before, PlayKey play, const std::optional<Cube>& cube) {
  const Position after = position_after(before, play);
  return {{after.opponent, after.roller}, std::nullopt, cube, before};
}

std::string board_description(const BoardPicture& board) {
  std::string text = "Board. Roller: " + side_words(board.position.roller) +
                     ". Opponent, numbered from his side: " + side_words(board.position.opponent) +
                     ".";
  if (board.roll) text += " Roll " + roll_text(*board.roll) + ".";
  if (board.cube) {
    text += " Cube " + owner_text(*board.cube) + ".";
  }
  return text;
}

std::string dice_svg(Roll roll) {
  constexpr double kMargin = 2;
  const double y = kSide / 2 + kMargin;
  return picture("dice", 2 * kSide + 4 * kMargin, 2 * y, "Roll " + roll_text(roll),
                 die_svg(y, y, roll.high) + die_svg(y + kSide + 2 * kMargin, y, roll.low));
}

std::string board_svg(const BoardPicture& board) {
  return picture("board", kWidth, kHeight, board_description(board), board_content(board));
}

std::string board_svg_file(const BoardPicture& board) {
  const std::string style = std::string("<style>") + picture_style() + "</style>";
  return picture("board", kWidth, kHeight, board_description(board),
                 style + rectangle(0, 0, kWidth, kHeight, "paper") + board_content(board));
}

}  // namespace sixfold
