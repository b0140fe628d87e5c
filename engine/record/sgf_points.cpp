#include "record/sgf_points.h"

#include <algorithm>
#include <array>
#include <vector>

#include "base/input_error.h"
#include "base/text_reader.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

struct Pair {
  int from;
  int to;
};

std::vector<Pair> pairs_of(std::string_view text, int player) {
  const auto fail = [&] {
    throw InputError("'" + std::string(text) + "' are no pairs of points", "",
                     "up to four of source and destination behind the dice, such as 31hefe");
  };
  if (text.size() % 2 != 0 || text.size() > 8) fail();
  std::vector<Pair> pairs;
  for (std::size_t i = 0; i + 1 < text.size(); i += 2) {
    const auto from = location_of(text[i], player);
    const auto to = location_of(text[i + 1], player);
    if (!from || !to) fail();
    pairs.push_back({*from, *to});
  }
  return pairs;
}

/// The pairs as people write them, for complaints.
std::string text_of(const std::vector<Pair>& pairs) {
  const auto name = [](int location) {
    if (location == kBar) return std::string("bar");
    return location == kOff ? std::string("off") : std::to_string(location);
  };
  std::string text;
  for (const Pair& pair : pairs) {
    text += (text.empty() ? "" : " ") + name(pair.from) + "/" + name(pair.to);
  }
  return text.empty() ? "no play" : text;
}

/// Whether a side is another with the checkers of all pairs moved, in whatever order.
bool is_result(const Side& before, const Side& after, const std::vector<Pair>& pairs) {
  std::array<int, kLocations> counts{};
  for (int location = 0; location < kLocations; ++location) {
    counts[static_cast<std::size_t>(location)] = before[location] - after[location];
  }
  for (const Pair& pair : pairs) {
    --counts[static_cast<std::size_t>(pair.from)];
    ++counts[static_cast<std::size_t>(pair.to)];
  }
  return std::all_of(counts.begin(), counts.end(), [](int count) { return count == 0; });
}

/// The points with an opposing blot on which pairs end.
std::uint32_t hits_of(const Position& position, const std::vector<Pair>& pairs) {
  std::uint32_t hits = 0;
  for (const Pair& pair : pairs) {
    const bool is_point = pair.to != kOff && pair.to != kBar;
    if (is_point && position.opponent[mirrored(pair.to)] == 1) hits |= 1u << (pair.to - 1);
  }
  return hits;
}

}  // namespace

char sgf_letter(int location, int player) {
  if (location == kBar) return 'y';
  if (location == kOff) return 'z';
  return static_cast<char>('a' + (player == 0 ? location : mirrored(location)) - 1);
}

std::optional<int> location_of(char letter, int player) {
  if (letter == 'y') return kBar;
  if (letter == 'z') return kOff;
  if (letter < 'a' || letter > 'x') return std::nullopt;
  const int point = letter - 'a' + 1;
  return player == 0 ? point : mirrored(point);
}

std::string sgf_pairs(const Position& position, Roll roll, PlayKey play, int player) {
  const std::string text = play_text(position, roll, play);
  std::string pairs;
  if (text == "no play") return pairs;
  TextReader reader(text, "play");
  const auto location = [&] {
    if (reader.accept("bar")) return kBar;
    return reader.accept("off") ? kOff : reader.number().value();
  };
  for (; !reader.at_end(); reader.skip_blanks()) {
    std::string part;
    int at = location();
    while (reader.accept('/')) {
      const int to = location();
      part += {sgf_letter(at, player), sgf_letter(to, player)};
      at = to;
      reader.accept('*');
    }
    int count = 1;
    if (reader.accept('(')) {
      count = reader.number().value();
      reader.accept(')');
    }
    for (; count > 0; --count) pairs += part;
  }
  return pairs;
}

MeantPlay meant_play(const Position& position, Roll roll, std::string_view text, int player) {
  const std::vector<Pair> pairs = pairs_of(text, player);
  PlayList plays;
  generate_plays(position, roll, plays);
  std::vector<PlayKey> fitting;
  for (const PlayKey play : plays) {
    if (is_result(position.roller, play.mover(), pairs)) fitting.push_back(play);
  }
  if (fitting.empty()) {
    throw InputError("'" + text_of(pairs) + "' is not a legal play of " + roll_text(roll), "",
                     "one of: " + plays_text(position, roll, plays));
  }
  if (fitting.size() == 1) return {fitting.front()};
  const std::uint32_t hits = hits_of(position, pairs);
  for (const PlayKey play : fitting) {
    if (play.hits() == hits) return {play};
  }
  // Both ways of one checker hit. The larger die's first stop is the lower point.
  return {*std::min_element(fitting.begin(), fitting.end(),
                            [](PlayKey a, PlayKey b) { return a.hits() < b.hits(); }),
          true};
}

}  // namespace sixfold
