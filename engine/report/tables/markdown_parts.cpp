#include "report/tables/markdown_parts.h"

#include <string_view>

namespace sixfold {
namespace {

std::string row_of(const std::vector<std::string>& cells) {
  std::string row = "|";
  for (const std::string& cell : cells) row += " " + cell + " |";
  return row + "\n";
}

}  // namespace

std::string markdown_literal(const std::string& text) {
  std::string safe;
  for (const char c : text) {
    if (std::string_view("\\`*_{}[]<>#|~").find(c) != std::string_view::npos) safe += '\\';
    safe += c;
    if (c == '\n') safe += c;
  }
  return safe;
}

std::string markdown_table(const std::vector<std::string>& heads,
                           const std::vector<std::vector<std::string>>& rows) {
  std::string text = row_of(heads) + row_of(std::vector<std::string>(heads.size(), "---"));
  for (const std::vector<std::string>& row : rows) text += row_of(row);
  return text + "\n";
}

}  // namespace sixfold
