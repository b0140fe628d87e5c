#include "rules/notation.h"

#include <algorithm>
#include <charconv>
#include <optional>
#include <vector>

#include "rules/input_error.h"
#include "rules/start.h"
#include "rules/steps.h"

namespace sixfold {
namespace {

constexpr std::string_view kBlank = " \t\r\n";

/// Walks over a text and knows the place for an error.
class Reader {
 public:
  Reader(std::string_view text, std::string what) : text_(text), what_(std::move(what)) {}

  void skip_blanks() {
    while (!at_end() && kBlank.find(text_[at_]) != std::string_view::npos) ++at_;
  }
  [[nodiscard]] bool at_end() const { return at_ >= text_.size(); }
  [[nodiscard]] char peek() const { return at_end() ? '\0' : text_[at_]; }
  bool accept(char c) {
    if (peek() != c) return false;
    ++at_;
    return true;
  }
  bool accept(std::string_view word) {
    if (text_.substr(at_, word.size()) != word) return false;
    at_ += word.size();
    return true;
  }
  /// A whole number, if one stands here; overlong ones read as 9999.
  std::optional<int> number() {
    int value = 0;
    const char* begin = text_.data() + at_;
    const char* end = text_.data() + text_.size();
    if (at_end() || peek() < '0' || peek() > '9') return std::nullopt;
    const auto [next, error] = std::from_chars(begin, end, value);
    at_ += static_cast<std::size_t>(next - begin);
    return error == std::errc() ? value : 9999;
  }
  [[noreturn]] void fail(const std::string& complaint, const std::string& expected) const {
    throw InputError(complaint, what_ + ", character " + std::to_string(at_ + 1), expected);
  }
  /// What stands here, for a complaint.
  [[nodiscard]] std::string found() const {
    if (at_end()) return "the text ends";
    const std::size_t end = std::min(text_.find_first_of(kBlank, at_), at_ + 12);
    return "'" + std::string(text_.substr(at_, end - at_)) + "' is not understood";
  }

 private:
  std::string_view text_;
  std::string what_;
  std::size_t at_ = 0;
};

constexpr const char* kSideForm = "points 24..1 or bar, each with an optional xN, such as 24x2 6";

/// One side of a position; ends before '/' or at the end.
Side read_side(Reader& reader, int checkers, const std::string& whose) {
  Side side;
  int placed = 0;
  for (reader.skip_blanks(); !reader.at_end() && reader.peek() != '/'; reader.skip_blanks()) {
    int location = kBar;
    if (!reader.accept("bar")) {
      const auto number = reader.number();
      if (!number) reader.fail(reader.found(), kSideForm);
      if (*number < 1 || *number > kPoints) {
        reader.fail("point " + std::to_string(*number) + " is out of range", "1 to 24, or bar");
      }
      location = *number;
    }
    int count = 1;
    if (reader.accept('x')) {
      const auto number = reader.number();
      if (!number || *number < 1) reader.fail("no count after x", "1 to 15");
      count = *number;
    }
    const char next = reader.peek();
    if (next != '\0' && next != '/' && kBlank.find(next) == std::string_view::npos) {
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

/// One checker's way: origin, the points on which it stops for the reader, hits among them.
struct Part {
  std::vector<int> stops;
  std::vector<bool> hit;
  friend bool operator==(const Part&, const Part&) = default;
};

struct Step {
  int from;
  int to;
};

std::string location_text(int location) {
  if (location == kBar) return "bar";
  return location == kOff ? "off" : std::to_string(location);
}

/// Joins the steps of each checker, then marks each hit where its point is first reached.
std::vector<Part> parts_of(std::vector<Step> steps, std::uint32_t hits) {
  std::stable_sort(steps.begin(), steps.end(),
                   [](const Step& a, const Step& b) { return a.from > b.from; });
  std::vector<Part> parts;
  for (const Step& step : steps) {
    const auto joined = std::find_if(parts.begin(), parts.end(), [&](const Part& part) {
      return part.stops.back() == step.from;
    });
    if (joined == parts.end()) {
      parts.push_back({{step.from, step.to}, {false, false}});
    } else {
      joined->stops.push_back(step.to);
      joined->hit.push_back(false);
    }
  }
  std::stable_sort(parts.begin(), parts.end(), [](const Part& a, const Part& b) {
    return std::pair(-a.stops.front(), a.stops.back()) <
           std::pair(-b.stops.front(), b.stops.back());
  });
  for (Part& part : parts) {
    Part shown{{part.stops.front()}, {false}};
    for (std::size_t i = 1; i < part.stops.size(); ++i) {
      const int to = part.stops[i];
      const std::uint32_t bit = to == kOff ? 0 : 1u << (to - 1);
      const bool hit = (hits & bit) != 0;
      hits &= ~bit;
      if (!hit && i + 1 < part.stops.size()) continue;
      shown.stops.push_back(to);
      shown.hit.push_back(hit);
    }
    part = shown;
  }
  return parts;
}

std::string text_of(const std::vector<Part>& parts) {
  std::string text;
  for (std::size_t i = 0; i < parts.size();) {
    std::size_t same = i + 1;
    // The second checker to a point finds nobody to hit: 24/20*(2).
    while (same < parts.size() && parts[same].stops == parts[i].stops) ++same;
    if (!text.empty()) text += ' ';
    for (std::size_t stop = 0; stop < parts[i].stops.size(); ++stop) {
      if (stop > 0) text += '/';
      text += location_text(parts[i].stops[stop]);
      if (parts[i].hit[stop]) text += '*';
    }
    if (same - i > 1) text += "(" + std::to_string(same - i) + ")";
    i = same;
  }
  return text;
}

/// Finds the way with the fewest parts from a position to a result.
class WayFinder {
 public:
  WayFinder(const Position& position, PlayKey target)
      : steps_(position.opponent), start_(position.roller.bits()), target_(target) {}

  std::string find(Roll roll) {
    if (roll.is_doubles()) {
      const std::array<int, 4> dice{roll.high, roll.high, roll.high, roll.high};
      search(start_, dice, kBar, true);
    } else {
      search(start_, std::array<int, 2>{roll.high, roll.low}, kBar, false);
      search(start_, std::array<int, 2>{roll.low, roll.high}, kBar, false);
    }
    return text_of(best_);
  }

 private:
  void search(Packed128 key, std::span<const int> dice, int highest, bool descending) {
    if (PlayKey(key) == target_ && !way_.empty()) {
      std::vector<Part> parts = parts_of(way_, target_.hits());
      if (best_.empty() || parts.size() < best_.size()) best_ = std::move(parts);
    }
    if (dice.empty()) return;
    steps_.for_each(key, dice.front(), highest, [&](int from, int to, Packed128 next) {
      way_.push_back({from, to});
      search(next, dice.subspan(1), descending ? from : kBar, descending);
      way_.pop_back();
    });
  }

  Steps steps_;
  Packed128 start_;
  PlayKey target_;
  std::vector<Step> way_;
  std::vector<Part> best_;
};

/// A play as written: the net change of the mover's side, the points reached and those marked hit.
struct WrittenPlay {
  Packed128 change = 0;
  std::uint32_t reached = 0;
  std::uint32_t marked = 0;
};

constexpr const char* kPlayForm = "a play such as 13/8 24/23, 8/5*/4, bar/22, 6/off(2) or no play";

int read_location(Reader& reader, bool origin) {
  if (origin && reader.accept("bar")) return kBar;
  if (!origin && reader.accept("off")) return kOff;
  const auto number = reader.number();
  if (!number) reader.fail(reader.found(), kPlayForm);
  if (*number < 1 || *number > kPoints) {
    reader.fail("point " + std::to_string(*number) + " is out of range", kPlayForm);
  }
  return *number;
}

void read_part(Reader& reader, WrittenPlay& play) {
  const int origin = read_location(reader, true);
  int at = origin;
  do {
    if (!reader.accept('/')) reader.fail(reader.found(), kPlayForm);
    const int to = read_location(reader, false);
    if (to >= at) reader.fail("checkers move to lower points only", kPlayForm);
    at = to;
    const bool marked = reader.accept('*');
    if (to != kOff) {
      play.reached |= 1u << (to - 1);
      if (marked) play.marked |= 1u << (to - 1);
    }
  } while (reader.peek() == '/');
  int count = 1;
  if (reader.accept('(')) {
    const auto number = reader.number();
    if (!number || *number < 1 || *number > 4 || !reader.accept(')')) {
      reader.fail("no count in brackets", "(2), (3) or (4)");
    }
    count = *number;
  }
  for (int i = 0; i < count; ++i) play.change += Side::unit(at) - Side::unit(origin);
}

[[noreturn]] void refuse_play(const Position& position, Roll roll, std::string_view text,
                              const PlayList& plays) {
  std::string legal;
  for (const PlayKey play : plays) {
    if (!legal.empty()) legal += ", ";
    legal += play_text(position, roll, play);
  }
  throw InputError("'" + std::string(text) + "' is not a legal play of " + roll_text(roll), "play",
                   "one of: " + legal);
}

/// Of the legal plays with the written net change, the one whose hits agree with the text best.
std::optional<PlayKey> match(const Position& position, const PlayList& plays,
                             const WrittenPlay& written) {
  const Side mover(position.roller.bits() + written.change);
  const Steps steps(position.opponent);
  std::uint32_t expected = 0;
  for (int point = 1; point <= kPoints; ++point) {
    if (steps.hit_on(point) != 0) expected |= written.reached & (1u << (point - 1));
  }
  std::vector<PlayKey> candidates;
  for (const PlayKey play : plays) {
    if (play.mover() != mover || (written.marked & ~play.hits()) != 0) continue;
    if (play.hits() == expected) return play;
    candidates.push_back(play);
  }
  if (candidates.size() != 1) return std::nullopt;
  return candidates.front();
}

std::string_view trimmed(std::string_view text) {
  const std::size_t first = text.find_first_not_of(kBlank);
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(kBlank) - first + 1);
}

}  // namespace

Position parse_position(std::string_view text, int checkers) {
  Reader reader(text, "position");
  Position position;
  position.roller = read_side(reader, checkers, "the side on roll");
  if (!reader.accept('/')) {
    reader.fail("the position has one side only", "ROLLER / OPPONENT, such as 24x2 6x5 / 13 8x3");
  }
  position.opponent = read_side(reader, checkers, "the opponent");
  if (!reader.at_end()) reader.fail(reader.found(), "the end: one '/' between two sides");
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
  return position;
}

std::string position_text(const Position& position) {
  return side_text(position.roller) + " / " + side_text(position.opponent);
}

Roll parse_roll(std::string_view text) {
  const auto die = [&](std::size_t i) { return text[i] >= '1' && text[i] <= '6'; };
  if (text.size() != 2 || !die(0) || !die(1)) {
    throw InputError("'" + std::string(text) + "' is not a roll", "dice",
                     "two digits from 1 to 6, such as 43");
  }
  return make_roll(text[0] - '0', text[1] - '0');
}

std::string roll_text(Roll roll) { return std::to_string(roll.high) + std::to_string(roll.low); }

std::string play_text(const Position& position, Roll roll, PlayKey play) {
  if (play.bits() == position.roller.bits()) return "no play";
  return WayFinder(position, play).find(roll);
}

PlayKey parse_play(const Position& position, Roll roll, std::string_view text) {
  text = trimmed(text);
  WrittenPlay written;
  if (text != "no play") {
    Reader reader(text, "play '" + std::string(text) + "'");
    do {
      reader.skip_blanks();
      read_part(reader, written);
      if (!reader.at_end() && kBlank.find(reader.peek()) == std::string_view::npos) {
        reader.fail(reader.found(), "a blank between parts");
      }
    } while (!reader.at_end());
  }
  PlayList plays;
  generate_plays(position, roll, plays);
  const auto play = match(position, plays, written);
  if (!play) refuse_play(position, roll, text, plays);
  return *play;
}

Position parse_line(std::string_view text, int checkers) {
  Position position = start_position(checkers);
  int turn = 1;
  for (std::string_view rest = trimmed(text); !rest.empty(); ++turn) {
    const std::size_t comma = rest.find(',');
    const std::string_view entry = trimmed(rest.substr(0, comma));
    const std::string where = "line of plays, play " + std::to_string(turn);
    const std::size_t colon = entry.find(':');
    if (colon == std::string_view::npos) {
      throw InputError("'" + std::string(entry) + "' has no colon", where, "such as 31: 8/5 6/5");
    }
    if (game_over(position)) throw InputError("the game is over before it", where, "");
    try {
      const Roll roll = parse_roll(trimmed(entry.substr(0, colon)));
      position = position_after(position, parse_play(position, roll, entry.substr(colon + 1)));
    } catch (const InputError& error) {
      throw InputError(error.complaint(), where + ", " + error.where(), error.expected());
    }
    if (comma == std::string_view::npos) break;
    rest = trimmed(rest.substr(comma + 1));
    if (rest.empty()) throw InputError("nothing after the last comma", where, "another play");
  }
  return position;
}

}  // namespace sixfold
