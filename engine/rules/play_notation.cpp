#include <algorithm>
#include <cassert>
#include <optional>
#include <span>
#include <vector>

#include "base/text_reader.h"
#include "rules/notation.h"
#include "rules/start.h"
#include "rules/steps.h"

namespace sixfold {
namespace {

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

/// Finds the steps from a position to a result. Once joined, all ways to one result have the same
/// parts, since these start and end where the result differs from the position.
class WayFinder {
 public:
  WayFinder(const Position& position, PlayKey target)
      : steps_(position.opponent), start_(position.roller.bits()), target_(target) {}

  std::string find(Roll roll) {
    if (roll.is_doubles()) {
      search(start_, std::array<int, 4>{roll.high, roll.high, roll.high, roll.high}, kBar);
    } else if (!search(start_, std::array<int, 2>{roll.high, roll.low}, kBar)) {
      search(start_, std::array<int, 2>{roll.low, roll.high}, kBar);
    }
    return text_of(parts_of(way_, target_.hits()));
  }

 private:
  /// Leaves the steps in way_ when it returns true. Doubles take sources in descending order.
  bool search(Packed128 key, std::span<const int> dice, int highest) {
    if (PlayKey(key) == target_ && !way_.empty()) return true;
    if (dice.empty()) return false;
    const bool descending = dice.size() > 1 && dice[0] == dice[1];
    bool found = false;
    steps_.for_each(key, dice.front(), highest, [&](int from, int to, Packed128 next) {
      // Later checkers come from here or below, so what stands above has to be as in the result.
      if (found || (descending && differ_above(from, next))) return;
      way_.push_back({from, to});
      found = search(next, dice.subspan(1), descending ? from : kBar);
      if (!found) way_.pop_back();
    });
    return found;
  }

  [[nodiscard]] bool differ_above(int location, Packed128 key) const noexcept {
    return (PlayKey(key).mover().bits() ^ target_.mover().bits()) >> (4 * (location + 1)) != 0;
  }

  Steps steps_;
  Packed128 start_;
  PlayKey target_;
  std::vector<Step> way_;
};

/// What play_text() is asked for; only asserts look.
[[maybe_unused]] bool is_legal(const Position& position, Roll roll, PlayKey play) {
  PlayList plays;
  generate_plays(position, roll, plays);
  return plays.contains(play);
}

/// A checker as written: where it starts and the points on which it is said to stop.
struct WrittenChecker {
  std::vector<int> stops;
  std::size_t reached = 0;  ///< Index of the last stop that it has reached.
  int at = 0;
};

/// A play as written: its checkers, and the points marked as hit (bit p-1).
struct WrittenPlay {
  std::vector<WrittenChecker> checkers;
  std::uint32_t marked = 0;
};

constexpr const char* kPlayForm = "a play such as 13/8 24/23, 8/5*/4, bar/22, 6/off(2) or no play";

int read_location(TextReader& reader, bool origin) {
  if (origin && reader.accept("bar")) return kBar;
  if (!origin && reader.accept("off")) return kOff;
  const auto number = reader.number();
  if (!number) reader.fail(reader.found(), kPlayForm);
  if (*number < 1 || *number > kPoints) {
    reader.fail_at_number("point " + std::to_string(*number) + " is out of range", kPlayForm);
  }
  return *number;
}

void read_part(TextReader& reader, WrittenPlay& play) {
  WrittenChecker checker;
  checker.at = read_location(reader, true);
  checker.stops.push_back(checker.at);
  do {
    if (!reader.accept('/')) reader.fail(reader.found(), kPlayForm);
    const int to = read_location(reader, false);
    if (to >= checker.stops.back()) {
      reader.fail_at_number("checkers move to lower points only", kPlayForm);
    }
    checker.stops.push_back(to);
    if (reader.accept('*') && to != kOff) play.marked |= 1u << (to - 1);
  } while (reader.peek() == '/');
  int count = 1;
  if (reader.accept('(')) {
    const auto number = reader.number();
    if (!number || *number < 1 || *number > 4 || !reader.accept(')')) {
      reader.fail("no count in brackets", "(2), (3) or (4)");
    }
    count = *number;
  }
  play.checkers.insert(play.checkers.end(), static_cast<std::size_t>(count), checker);
}

[[noreturn]] void refuse_play(const Position& position, Roll roll, std::string_view text,
                              const PlayList& plays) {
  throw InputError("'" + std::string(text) + "' is not a legal play of " + roll_text(roll), "play",
                   "one of: " + plays_text(position, roll, plays));
}

/// Plays the dice with the written checkers, stopping where the text says, in every order.
class WrittenSearch {
 public:
  WrittenSearch(const Position& position, const PlayList& legal, WrittenPlay written)
      : steps_(position.opponent), legal_(legal), written_(std::move(written)) {
    for (const WrittenChecker& checker : written_.checkers) {
      for (std::size_t i = 1; i < checker.stops.size(); ++i) {
        const Packed128 hit = steps_.hits_on(location_bit(checker.stops[i]));
        if (hit != 0) expected_ |= PlayKey(hit).hits();
      }
    }
  }

  /// The legal play that is meant. Where hits on the way make several fit, the one that hits just
  /// on the stops; a mark where nothing is hit fits none.
  std::optional<PlayKey> find(const Position& position, Roll roll) {
    const Packed128 start = position.roller.bits();
    const std::size_t count = roll.is_doubles() ? 4 : 2;
    std::array<int, 4> dice{roll.high, roll.low, roll.low, roll.low};
    search(start, std::span(dice).first(count));
    std::swap(dice[0], dice[1]);
    if (!roll.is_doubles()) search(start, std::span(dice).first(count));
    for (const PlayKey play : found_) {
      if (play.hits() == expected_) return play;
    }
    if (found_.size() != 1) return std::nullopt;
    return found_.front();
  }

 private:
  [[nodiscard]] bool complete() const {
    return std::all_of(written_.checkers.begin(), written_.checkers.end(), [](const auto& checker) {
      return checker.reached + 1 == checker.stops.size();
    });
  }

  void search(Packed128 key, std::span<const int> dice) {
    if (complete()) {
      const PlayKey play(key);
      const bool known = std::find(found_.begin(), found_.end(), play) != found_.end();
      const bool marks_fit = (written_.marked & ~play.hits()) == 0;
      if (!known && marks_fit && legal_.contains(play)) found_.push_back(play);
      return;
    }
    if (dice.empty()) return;
    for (WrittenChecker& checker : written_.checkers) {
      if (checker.reached + 1 == checker.stops.size()) continue;
      const int stop = checker.stops[checker.reached + 1];
      steps_.for_each(key, dice.front(), checker.at, [&](int from, int to, Packed128 next) {
        if (from != checker.at || to < stop) return;
        const WrittenChecker before = checker;
        checker.at = to;
        if (to == stop) ++checker.reached;
        search(next, dice.subspan(1));
        checker = before;
      });
    }
  }

  Steps steps_;
  const PlayList& legal_;
  WrittenPlay written_;
  std::uint32_t expected_ = 0;
  std::vector<PlayKey> found_;
};

/// An entry of a line of plays: a roll and, behind a colon, its play.
struct LineEntry {
  std::string_view roll;
  std::string_view play;
};

/// Takes the next entry off the front. A comma parts entries, and may part a play's checkers too.
LineEntry take_entry(std::string_view& rest, const std::string& where) {
  std::size_t comma = rest.find(',');
  const std::size_t colon = rest.substr(0, comma).find(':');
  if (colon == std::string_view::npos) {
    throw InputError("'" + std::string(trimmed(rest.substr(0, comma))) + "' has no colon", where,
                     "such as 31: 8/5 6/5");
  }
  const auto goes_on = [&](std::size_t from) {
    const std::string_view part = trimmed(rest.substr(from, rest.find(',', from) - from));
    const std::string_view first = part.substr(0, part.find_first_of(kBlank));
    return first.find('/') != std::string_view::npos && part.find(':') == std::string_view::npos;
  };
  while (comma != std::string_view::npos && goes_on(comma + 1)) comma = rest.find(',', comma + 1);
  const LineEntry entry{rest.substr(0, colon), rest.substr(0, comma).substr(colon + 1)};
  if (comma == std::string_view::npos) {
    rest = {};
    return entry;
  }
  rest = trimmed(rest.substr(comma + 1));
  if (rest.empty()) throw InputError("nothing after the last comma", where, "another play");
  return entry;
}

}  // namespace

std::string play_text(const Position& position, Roll roll, PlayKey play) {
  assert(is_legal(position, roll, play));
  if (play.bits() == position.roller.bits()) return "no play";
  return WayFinder(position, play).find(roll);
}

std::string plays_text(const Position& position, Roll roll, const PlayList& plays) {
  std::string text;
  for (const PlayKey play : plays) {
    if (!text.empty()) text += ", ";
    text += play_text(position, roll, play);
  }
  return text;
}

PlayKey parse_play(const Position& position, Roll roll, std::string_view text) {
  text = trimmed(text);
  WrittenPlay written;
  if (!is_same_word(text, "no play")) {
    TextReader reader(text, "play '" + std::string(text) + "'");
    do {
      read_part(reader, written);
      if (!reader.skip(kBetween) && !reader.at_end()) {
        reader.fail(reader.found(), "a blank between parts");
      }
    } while (!reader.at_end());
  }
  PlayList plays;
  generate_plays(position, roll, plays);
  // Each checker takes a die at least. The search would go through all that more could do.
  std::optional<PlayKey> play;
  if (written.checkers.size() <= (roll.is_doubles() ? 4 : 2)) {
    play = WrittenSearch(position, plays, std::move(written)).find(position, roll);
  }
  if (!play) refuse_play(position, roll, text, plays);
  return *play;
}

Position parse_line(std::string_view text, int checkers) {
  Position position = start_position(checkers);
  int turn = 1;
  for (std::string_view rest = trimmed(text); !rest.empty(); ++turn) {
    const std::string where = "line of plays, play " + std::to_string(turn);
    const LineEntry entry = take_entry(rest, where);
    if (game_over(position)) throw InputError("the game is over before it", where, "");
    position = inside(where, [&] {
      const Roll roll = parse_roll(trimmed(entry.roll));
      return position_after(position, parse_play(position, roll, entry.play));
    });
  }
  return position;
}

}  // namespace sixfold
