#include "record/sgf_head.h"

#include <algorithm>
#include <array>

#include "base/input_error.h"
#include "base/text_reader.h"
#include "record/sgf_points.h"
#include "record/texts.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

const SgfProperty* find(const SgfNode& node, std::string_view name) {
  const auto found = std::find_if(node.properties.begin(), node.properties.end(),
                                  [&](const auto& property) { return property.name == name; });
  return found == node.properties.end() ? nullptr : &*found;
}

std::string shown(std::string_view name, std::string_view value) {
  return std::string(name) + "[" + one_line(valid_utf8(value)) + "]";
}

void read_match_facts(const SgfProperty& property, SgfRootFacts& facts,
                      std::vector<std::string>& notes) {
  std::array<std::optional<int>, 2> score;
  for (const std::string_view value : property.values) {
    const auto [key, behind] = split_at(value, ':');
    const bool is_known =
        is_same_word(key, "length") || is_same_word(key, "ws") || is_same_word(key, "bs");
    if (!is_known || !behind) continue;
    const auto number = whole_number(*behind);
    if (!number) {
      notes.push_back(shown("MI", value) + " is not understood; expected a whole number");
    } else if (is_same_word(key, "length")) {
      facts.length = *number;
    } else {
      score[is_same_word(key, "ws") ? 0 : 1] = *number;
    }
  }
  if (score[0] && score[1]) {
    facts.head.score = {*score[0], *score[1]};
  } else if (score[0] || score[1]) {
    notes.emplace_back("MI tells one player's score alone; expected ws and bs; it does not count");
  }
}

void read_rules(const SgfProperty& property, SgfRootFacts& facts) {
  for (const std::string_view value : property.values) {
    std::optional<std::string_view> rest = value;
    while (rest) {
      const auto [rule, others] = split_at(*rest, ',');
      rest = others;
      const auto [name, detail] = split_at(trimmed(rule), ':');
      if (is_same_word(name, "Jacoby")) facts.head.jacoby = true;
      if (is_same_word(name, "Crawford")) {
        facts.head.is_crawford = detail && is_same_word(trimmed(*detail), "CrawfordGame");
      }
    }
  }
}

/// W+2, B+1R, W+R; nothing for what is not of the form.
std::optional<ToldResult> result_of(std::string_view text) {
  text = trimmed(text);
  if (text.size() < 3 || text[1] != '+' || (text[0] != 'W' && text[0] != 'B')) return std::nullopt;
  ToldResult result;
  result.winner = text[0] == 'W' ? 0 : 1;
  text.remove_prefix(2);
  const std::size_t digits = std::min(text.find_first_not_of("0123456789"), text.size());
  const std::string_view rest = text.substr(digits);
  result.by_resignation = is_same_word(rest, "R") || is_same_word(rest, "Resign");
  if (!rest.empty() && !result.by_resignation) return std::nullopt;
  if (digits > 0) {
    result.points = whole_number(text.substr(0, digits));
    if (!result.points) return std::nullopt;
  }
  return result;
}

int player_of(std::string_view name, std::string_view value) {
  const std::string_view text = trimmed(value);
  if (!text.empty() && (text[0] == 'w' || text[0] == 'W')) return 0;
  if (!text.empty() && (text[0] == 'b' || text[0] == 'B')) return 1;
  throw InputError(shown(name, value) + " is no player", "", "w or b");
}

/// Counts by player and location while checkers are added, before they must be a position's.
using Counts = std::array<std::array<int, kLocations>, 2>;

/// Calls visit(letter) for each point of a list such as [a][c] or [a:f].
template <typename Visit>
void for_each_point(const SgfProperty& property, Visit visit) {
  for (const std::string_view value : property.values) {
    const std::string_view text = trimmed(value);
    const auto is_letter = [](char c) { return 'a' <= c && c <= 'z'; };
    const bool is_range = text.size() == 3 && text[1] == ':';
    if (!(text.size() == 1 || is_range) || !is_letter(text.front()) || !is_letter(text.back())) {
      throw InputError(shown(property.name, value) + " is no point", "", "a letter from a to z");
    }
    for (char letter = text.front(); letter <= text.back(); ++letter) visit(letter);
  }
}

Side side_of(const std::array<int, kLocations>& counts, const char* whose) {
  Side side;
  int placed = 0;
  for (int location = 1; location <= kBar; ++location) {
    const int count = counts[static_cast<std::size_t>(location)];
    placed += count;
    if (placed > kMaxCheckers) {
      throw InputError(std::string(whose) + " has more than 15 checkers", "", "15 at most");
    }
    side.add(location, count);
  }
  side.add(kOff, kMaxCheckers - placed);
  return side;
}

Counts counts_of(const Position& position) {
  Counts counts{};
  for (std::size_t location = 0; location < counts[0].size(); ++location) {
    counts[0][location] = position.roller[static_cast<int>(location)];
    counts[1][location] = position.opponent[static_cast<int>(location)];
  }
  return counts;
}

void read_checkers(const SgfNode& node, Position& start) {
  const SgfProperty* emptied = find(node, "AE");
  const std::array<const SgfProperty*, 2> added{find(node, "AW"), find(node, "AB")};
  if (!emptied && !added[0] && !added[1]) return;
  Counts counts = emptied ? counts_of(start) : Counts{};
  for (std::size_t player = 0; player < 2; ++player) {
    const auto count_at = [&](char letter) -> int& {
      const int location = location_of(letter, static_cast<int>(player)).value();
      return counts[player][static_cast<std::size_t>(location)];
    };
    if (emptied) for_each_point(*emptied, [&](char letter) { count_at(letter) = 0; });
    if (added[player]) {
      for_each_point(*added[player], [&](char letter) {
        int& count = count_at(letter);
        count = std::min(count + 1, kMaxCheckers + 1);
      });
    }
  }
  start = {side_of(counts[0], "White"), side_of(counts[1], "Black")};
}

}  // namespace

SgfCharacters characters_named(std::string_view name) {
  name = trimmed(name);
  if (is_same_word(name, "UTF-8") || is_same_word(name, "UTF8")) return SgfCharacters::kUtf8;
  for (const char* latin : {"ISO-8859-1", "ISO8859-1", "Latin-1", "Latin1", "US-ASCII", "ASCII"}) {
    if (is_same_word(name, latin)) return SgfCharacters::kLatin1;
  }
  return SgfCharacters::kOther;
}

std::string sgf_line(std::string_view value, SgfCharacters characters) {
  return one_line(sgf_lines(value, characters));
}

std::string sgf_lines(std::string_view value, SgfCharacters characters) {
  const std::string text = without_escapes(value);
  return clean_lines(characters == SgfCharacters::kLatin1 ? utf8_of_latin1(text)
                                                          : valid_utf8(text));
}

std::optional<std::string_view> value_of(const SgfNode& node, std::string_view name) {
  const SgfProperty* property = find(node, name);
  if (!property) return std::nullopt;
  return property->values.front();
}

SgfRootFacts root_facts(const SgfNode& root, std::vector<std::string>& notes) {
  SgfRootFacts facts;
  if (const SgfProperty* match = find(root, "MI")) read_match_facts(*match, facts, notes);
  if (const SgfProperty* rules = find(root, "RU")) read_rules(*rules, facts);
  const auto result = value_of(root, "RE");
  if (result && !trimmed(*result).empty()) {
    facts.result = result_of(*result);
    if (!facts.result) {
      notes.push_back(shown("RE", *result) + " is not understood; expected such as W+2 or B+1R");
    }
  }
  return facts;
}

bool is_setup(std::string_view name) {
  constexpr std::array<std::string_view, 7> kNames{"AW", "AB", "AE", "CV", "CP", "CO", "PL"};
  return std::find(kNames.begin(), kNames.end(), name) != kNames.end();
}

void SgfSetup::read(const SgfNode& node, std::vector<std::string>& notes) {
  read_checkers(node, start);
  if (const auto value = value_of(node, "CV")) {
    cube_value = whole_number(*value).value_or(0);
    if (!is_cube_value(cube_value)) {
      throw InputError(shown("CV", *value) + " is no value of the cube", "", kCubeForm);
    }
  }
  for (const char* name : {"CP", "CO"}) {
    const auto value = value_of(node, name);
    if (!value) continue;
    const std::string_view place = trimmed(*value);
    cube_owner.reset();
    if (place == "n") {
      notes.emplace_back("no cube; read as one in the middle");
    } else if (place != "c") {
      cube_owner = player_of(name, *value);
    }
  }
  if (const auto value = value_of(node, "DI")) dice = parse_roll(*value);
  if (const auto value = value_of(node, "PL")) on_roll = player_of("PL", *value);
}

}  // namespace sixfold
