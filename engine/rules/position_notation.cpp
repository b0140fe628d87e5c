#include <algorithm>
#include <cassert>

#include "base/text_reader.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

constexpr const char* kSideForm = "points 24..1 or bar, each with an optional xN, such as 24x2 6";

/// How many checkers stand on a location: xN or (N) behind it, one else.
int read_count(TextReader& reader) {
  const bool is_bracketed = reader.accept('(');
  if (!is_bracketed && !reader.accept('x')) return 1;
  const auto number = reader.number();
  if (!number) reader.fail(is_bracketed ? "no count in brackets" : "no count after x", "1 to 15");
  if (*number < 1) reader.fail_at_number("a count of 0", "1 to 15");
  if (is_bracketed && !reader.accept(')')) reader.fail("no closing bracket", "such as 24(2)");
  return *number;
}

/// One side of a position; ends before '/' or at the end.
Side read_side(TextReader& reader, int checkers, const std::string& whose) {
  Side side;
  int placed = 0;
  for (reader.skip(kBetween); !reader.at_end() && reader.peek() != '/'; reader.skip(kBetween)) {
    int location = kBar;
    if (!reader.accept("bar")) {
      const auto number = reader.number();
      if (!number) reader.fail(reader.found(), kSideForm);
      if (*number < 1 || *number > kPoints) {
        reader.fail_at_number("point " + std::to_string(*number) + " is out of range",
                              "1 to 24, or bar");
      }
      location = *number;
    }
    const int count = read_count(reader);
    const char next = reader.peek();
    if (next != '\0' && next != '/' && kBetween.find(next) == std::string_view::npos) {
      reader.fail(reader.found(), kSideForm);
    }
    placed += std::min(count, 99);
    if (placed > checkers) {
      reader.fail(whose + " has more than " + std::to_string(checkers) + " checkers",
                  std::to_string(checkers) + " at most");
    }
    side.add(location, count);
  }
  side.add(kOff, checkers - placed);
  return side;
}

/// A side whose points are numbered from the other side of the board.
Side turned(const Side& side) {
  Side turned;
  for (const int location : {kOff, kBar}) turned.add(location, side[location]);
  for (int point = 1; point <= kPoints; ++point) turned.add(mirrored(point), side[point]);
  return turned;
}

std::string side_text(const Side& side) {
  std::string text;
  for (int location = kBar; location >= 1; --location) {
    const int count = side[location];
    if (count == 0) continue;
    if (!text.empty()) text += ' ';
    text += location == kBar ? "bar" : std::to_string(location);
    if (count > 1) text += "x" + std::to_string(count);
  }
  return text;
}

}  // namespace

Position parse_position(std::string_view text, int checkers, Numbering numbering) {
  assert(checkers >= 1 && checkers <= kMaxCheckers);
  TextReader reader(text, "position");
  Position position;
  position.roller = read_side(reader, checkers, "the side on roll");
  if (!reader.accept('/')) {
    reader.fail("the position has one side only", "ROLLER / OPPONENT, such as 24x2 6x5 / 13 8x3");
  }
  position.opponent = read_side(reader, checkers, "the opponent");
  if (numbering == Numbering::kRollers) position.opponent = turned(position.opponent);
  if (!reader.at_end()) reader.fail(reader.found(), "the end: one '/' between two sides");
  require_possible(position);
  return position;
}

void require_possible(const Position& position) {
  for (int point = 1; point <= kPoints; ++point) {
    if (position.roller[point] > 0 && position.opponent[mirrored(point)] > 0) {
      throw InputError("both sides stand on the roller's point " + std::to_string(point) +
                           " (the opponent's " + std::to_string(mirrored(point)) + ")",
                       "position", "each point to one side");
    }
  }
  if (position.roller.all_off() && position.opponent.all_off()) {
    throw InputError("both sides have all their checkers off", "position",
                     "at least one checker on the board");
  }
}

std::string position_text(const Position& position) {
  return side_text(position.roller) + " / " + side_text(position.opponent);
}

Roll parse_roll(std::string_view text) {
  TextReader reader(text, "dice");
  const auto die = [&] {
    int face = 6;
    while (face > 0 && !reader.accept(static_cast<char>('0' + face))) --face;
    return face;
  };
  reader.skip_blanks();
  const int first = die();
  reader.skip_blanks();
  if (reader.accept('-') || reader.accept(',')) reader.skip_blanks();
  const int second = die();
  reader.skip_blanks();
  if (first == 0 || second == 0 || !reader.at_end()) {
    throw InputError("'" + std::string(text) + "' is not a roll", "dice",
                     "two digits from 1 to 6, such as 43");
  }
  return make_roll(first, second);
}

std::string roll_text(Roll roll) { return std::to_string(roll.high) + std::to_string(roll.low); }

}  // namespace sixfold
