/// The properties of one SGF game that come before its turns. Source: SGF FF[4], the Smart Game
/// Format's general page, and its page on backgammon, GM[6]. Plain values; pure functions.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "record/game_head.h"
#include "record/replay.h"
#include "record/sgf_tree.h"

namespace sixfold {

/// Which bytes a text's values are made of.
enum class SgfCharacters : std::uint8_t { kLatin1, kUtf8, kOther };
[[nodiscard]] SgfCharacters characters_named(std::string_view name);
/// A value as clean UTF-8, in one line.
[[nodiscard]] std::string sgf_line(std::string_view value, SgfCharacters characters);
/// The same with its lines.
[[nodiscard]] std::string sgf_lines(std::string_view value, SgfCharacters characters);

/// The first value of a node's property; nothing where it has none.
[[nodiscard]] std::optional<std::string_view> value_of(const SgfNode& node, std::string_view name);

/// What MI, RU and RE say; what is not understood becomes a note ("RE[xyz] is not understood").
struct SgfRootFacts {
  std::optional<int> length;
  GameHead head;
  std::optional<ToldResult> result;
};
[[nodiscard]] SgfRootFacts root_facts(const SgfNode& root, std::vector<std::string>& notes);

/// A position, cube and player on roll as set up before the first move.
struct SgfSetup {
  /// Throws InputError for what is not of the form and for impossible checkers.
  void read(const SgfNode& node, std::vector<std::string>& notes);

  Position start = start_position();  ///< White's side first.
  int cube_value = 1;
  std::optional<int> cube_owner;
  std::optional<int> on_roll;
  std::optional<Roll> dice;
};
/// Whether a property sets up more than the dice.
[[nodiscard]] bool is_setup(std::string_view name);

}  // namespace sixfold
