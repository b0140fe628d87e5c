/// The outer form of SGF: trees, nodes and properties, whatever the game. Source: SGF FF[4], the
/// Smart Game Format's general page. Pure; thread-safe. Results are views of the text.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace sixfold {

struct SgfProperty {
  std::string_view name;
  std::vector<std::string_view> values;  ///< As written, escapes included.
  int line = 1;
};

struct SgfNode {
  std::vector<SgfProperty> properties;
};

/// The main line of a tree: the first child at each branching.
struct SgfTree {
  std::vector<SgfNode> nodes;
  int variations = 0;  ///< Passed over.
  bool is_cut_off = false;
  int line = 1;
};

/// Every tree of a text. What is not of the form is complained about and skipped; of a text that
/// breaks off, all that was complete is there. Nesting may be as deep as the text is long.
[[nodiscard]] std::vector<SgfTree> read_sgf_trees(std::string_view text,
                                                  std::vector<std::string>& complaints);

/// Escapes resolved: a character behind '\' stands for itself, a line end behind '\' goes.
[[nodiscard]] std::string without_escapes(std::string_view value);
[[nodiscard]] std::string with_escapes(std::string_view text);

}  // namespace sixfold
