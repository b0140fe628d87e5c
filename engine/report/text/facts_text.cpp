#include "report/text/facts_text.h"

#include <algorithm>
#include <vector>

#include "report/words/fact_table.h"

namespace sixfold {

std::string facts_text(const Position& before, std::span<const PlayKey> plays) {
  constexpr std::size_t kLabel = 17;
  constexpr std::size_t kColumn = 16;
  std::string text;
  const auto add_line = [&](const std::string& name, const std::vector<std::string>& cells) {
    text += name + std::string(kLabel - name.size(), ' ');
    for (const std::string& cell : cells) {
      text += cell + std::string(std::max(kColumn, cell.size() + 1) - cell.size(), ' ');
    }
    while (text.back() == ' ') text.pop_back();
    text += "\n";
  };
  const std::vector<FactRow> rows = fact_rows(before, plays);
  if (rows.empty()) return "No fact changes.\n";
  std::vector<std::string> heads{"before"};
  for (std::size_t i = 1; i <= plays.size(); ++i) heads.push_back("play " + std::to_string(i));
  add_line("", heads);
  for (const FactRow& row : rows) {
    std::vector<std::string> cells;
    for (const FactRow::Cell& cell : row.cells)
      cells.push_back(cell.text + (cell.changed ? " *" : ""));
    add_line(row.term.name, cells);
  }
  return text;
}

}  // namespace sixfold
