#include "record/sgf_tree.h"

#include <algorithm>
#include <optional>

#include "base/text_reader.h"

namespace sixfold {
namespace {

bool is_name(char c) { return ('A' <= c && c <= 'Z') || ('a' <= c && c <= 'z'); }

class SgfScanner {
 public:
  SgfScanner(std::string_view text, std::vector<std::string>& complaints)
      : text_(text), complaints_(complaints) {}

  std::vector<SgfTree> read() {
    std::vector<SgfTree> trees;
    while (at_ = std::min(text_.find('(', at_), text_.size()), at_ < text_.size()) {
      trees.push_back(read_tree());
    }
    return trees;
  }

 private:
  /// Levels are kept by hand: how deep a text nests is not ours to limit.
  SgfTree read_tree() {
    SgfTree tree;
    tree.line = line();
    has_complained_ = false;
    std::vector<bool> has_child{false};
    ++at_;
    while (!has_child.empty() && at_ < text_.size()) {
      const char c = text_[at_];
      if (c == '(' && has_child.back()) {
        ++tree.variations;
        skip_tree();
      } else if (c == '(') {
        has_child.back() = true;
        has_child.push_back(false);
        ++at_;
      } else if (c == ')') {
        has_child.pop_back();
        ++at_;
      } else {
        read_inside(tree, has_child.back());
      }
    }
    tree.is_cut_off = !has_child.empty();
    if (tree.is_cut_off) {
      complaints_.push_back("line " + std::to_string(tree.line) +
                            ": the text ends within the game that begins here; expected ')'");
    }
    return tree;
  }

  /// A node's begin, a property, or what does not belong here. Behind a child a line does not go
  /// on.
  void read_inside(SgfTree& tree, bool is_behind_child) {
    const char c = text_[at_];
    if (is_behind_child && c == ';') complain("a node behind a variation");
    if (c == ';') {
      ++at_;
      if (!is_behind_child) tree.nodes.emplace_back();
    } else if (is_name(c)) {
      SgfProperty property;
      const bool is_whole = read_property(property);
      if (is_whole && !is_behind_child && !tree.nodes.empty()) {
        tree.nodes.back().properties.push_back(std::move(property));
      }
    } else if (c == '[') {
      complain("a value without a name");
      read_value();
    } else {
      if (kBlank.find(c) == std::string_view::npos) complain(std::string("'") + c + "'");
      ++at_;
    }
  }

  /// False for one without a value, and for one that the end of the text cuts off.
  bool read_property(SgfProperty& property) {
    property.line = line();
    const std::size_t begin = at_;
    while (at_ < text_.size() && is_name(text_[at_])) ++at_;
    property.name = text_.substr(begin, at_ - begin);
    skip_blanks();
    while (at_ < text_.size() && text_[at_] == '[') {
      const auto value = read_value();
      if (!value) return false;
      property.values.push_back(*value);
      skip_blanks();
    }
    if (property.values.empty() && at_ < text_.size()) {
      complain(std::string(property.name) + " without a value");
    }
    return !property.values.empty();
  }

  /// From '[' to the next ']' that is not escaped; nothing where the text ends before.
  std::optional<std::string_view> read_value() {
    const std::size_t begin = ++at_;
    while (at_ < text_.size() && text_[at_] != ']') {
      at_ += text_[at_] == '\\' ? std::size_t{2} : std::size_t{1};
    }
    if (at_ >= text_.size()) {
      at_ = text_.size();
      return std::nullopt;
    }
    return text_.substr(begin, at_++ - begin);
  }

  void skip_tree() {
    int depth = 0;
    while (at_ < text_.size()) {
      const char c = text_[at_];
      if (c == '[') {
        read_value();
        continue;
      }
      ++at_;
      if (c == '(') ++depth;
      if (c == ')' && --depth == 0) return;
    }
  }

  void skip_blanks() {
    while (at_ < text_.size() && kBlank.find(text_[at_]) != std::string_view::npos) ++at_;
  }

  /// One complaint a tree: what follows it is often the same mistake.
  void complain(const std::string& what) {
    if (has_complained_) return;
    has_complained_ = true;
    complaints_.push_back("line " + std::to_string(line()) + ": " + what +
                          " does not belong here; expected properties such as W[31hefe]; skipped");
  }

  /// The line on which at_ is; counted on from the last time.
  int line() {
    const auto from = text_.begin() + static_cast<std::ptrdiff_t>(counted_);
    line_ +=
        static_cast<int>(std::count(from, text_.begin() + static_cast<std::ptrdiff_t>(at_), '\n'));
    counted_ = at_;
    return line_;
  }

  std::string_view text_;
  std::vector<std::string>& complaints_;
  std::size_t at_ = 0;
  std::size_t counted_ = 0;
  int line_ = 1;
  bool has_complained_ = false;
};

}  // namespace

std::vector<SgfTree> read_sgf_trees(std::string_view text, std::vector<std::string>& complaints) {
  return SgfScanner(text, complaints).read();
}

std::string without_escapes(std::string_view value) {
  std::string text;
  for (std::size_t at = 0; at < value.size(); ++at) {
    if (value[at] != '\\') {
      text += value[at];
      continue;
    }
    if (++at >= value.size()) break;
    if (value[at] == '\r' && at + 1 < value.size() && value[at + 1] == '\n') ++at;
    if (value[at] != '\n' && value[at] != '\r') text += value[at];
  }
  return text;
}

std::string with_escapes(std::string_view text) {
  std::string value;
  for (const char c : text) {
    if (c == ']' || c == '\\') value += '\\';
    value += c;
  }
  return value;
}

}  // namespace sixfold
