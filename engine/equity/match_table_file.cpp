#include "equity/match_table_file.h"

#include <charconv>
#include <cmath>
#include <fstream>
#include <sstream>
#include <utility>
#include <vector>

#include "base/bounded_reading.h"
#include "base/format.h"
#include "base/input_error.h"

namespace sixfold {
namespace {

constexpr double kRounding = 0.0011;
constexpr const char* kAfterCrawford = "post-crawford";

std::vector<std::string> cells_of(const std::string& line) {
  std::vector<std::string> cells;
  std::istringstream stream(line);
  for (std::string cell; std::getline(stream, cell, ',');) {
    const std::size_t first = cell.find_first_not_of(" \t\r");
    const std::size_t last = cell.find_last_not_of(" \t\r");
    cells.push_back(first == std::string::npos ? "" : cell.substr(first, last - first + 1));
  }
  return cells;
}

/// Lines of a table with their numbers, for errors.
class Table {
 public:
  Table(const std::string& text, std::string name) : name_(std::move(name)) {
    std::istringstream stream(text);
    int number = 0;
    for (std::string line; std::getline(stream, line);) {
      ++number;
      if (line.find_first_not_of(" \t\r") == std::string::npos) continue;
      rows_.emplace_back(number, cells_of(line));
    }
  }

  [[nodiscard]] std::size_t size() const { return rows_.size(); }
  [[nodiscard]] const std::vector<std::string>& cells(std::size_t row) const {
    return rows_[row].second;
  }
  [[noreturn]] void refuse(std::size_t row, const std::string& complaint,
                           const std::string& expected) const {
    throw InputError(complaint, name_ + ", line " + std::to_string(rows_[row].first), expected);
  }
  void require_size(std::size_t row, std::size_t size) const {
    if (cells(row).size() == size) return;
    refuse(row, std::to_string(cells(row).size()) + " fields", std::to_string(size));
  }
  [[nodiscard]] double chance(std::size_t row, std::size_t column) const {
    const std::string& cell = cells(row)[column];
    double value = 0.0;
    const auto [end, error] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
    if (error != std::errc() || end != cell.data() + cell.size() || cell.empty() ||
        !(value >= 0.0 && value <= 1.0)) {
      refuse(row, "'" + cell + "' in column " + std::to_string(column + 1), "a chance from 0 to 1");
    }
    return value;
  }

 private:
  std::string name_;
  std::vector<std::pair<int, std::vector<std::string>>> rows_;
};

/// The number of rows; checks the heads of rows and columns.
std::size_t width_of(const Table& table, const std::string& name) {
  if (table.size() < 2 || table.cells(0).size() < 2 || table.cells(0)[0] != "away") {
    throw InputError("not a match equity table", name, "a first line such as away,1,2,3");
  }
  const std::size_t width = table.cells(0).size() - 1;
  if (width > kMostAway) {
    table.refuse(0, std::to_string(width) + " columns", "25 at most");
  }
  for (std::size_t i = 1; i <= width; ++i) {
    if (table.cells(0)[i] != std::to_string(i)) {
      table.refuse(0, "column '" + table.cells(0)[i] + "'", std::to_string(i));
    }
  }
  if (table.size() != width + 1 && table.size() != width + 2) {
    throw InputError(
        std::to_string(table.size() - 1) + " rows for " + std::to_string(width) + " columns", name,
        "as many, and one more for post-crawford");
  }
  for (std::size_t i = 1; i < table.size(); ++i) {
    table.require_size(i, width + 1);
    const std::string head = i <= width ? std::to_string(i) : kAfterCrawford;
    if (table.cells(i)[0] != head) table.refuse(i, "row '" + table.cells(i)[0] + "'", head);
  }
  return width;
}

/// What losing and winning a game leave has to differ: all that is worth something is measured by
/// it.
constexpr double kLeastDifference = 1e-6;

/// Throws InputError where somebody who is further away has better chances, or where winning a game
/// gains nothing on losing it.
void require_falling(const Table& lines, const MatchEquityTable& table) {
  const auto where = [](int away, int other) { return format("{}-away/{}-away", away, other); };
  for (int away = 1; away <= table.most_away(); ++away) {
    const auto row = static_cast<std::size_t>(away);
    for (int other = 1; other <= table.most_away(); ++other) {
      const double chance = table.chance(away, other);
      if (chance > table.chance(away - 1, other)) {
        lines.refuse(row,
                     format("at {} the chance is higher than a point nearer", where(away, other)),
                     "chances that fall down each column");
      }
      if (table.chance(away - 1, other) - table.chance(away, other - 1) < kLeastDifference) {
        lines.refuse(row,
                     format("at {} a game won is worth no more than one lost", where(away, other)),
                     "more");
      }
    }
    const double after = table.after_crawford(away);
    if (after < kLeastDifference || (away > 1 && after > table.after_crawford(away - 1))) {
      lines.refuse(lines.size() - 1,
                   format("at {}-away after the Crawford game '{:g}'", away, after),
                   "a chance above 0 that is no higher than a point nearer");
    }
  }
}

}  // namespace

MatchEquityTable parse_match_table(const std::string& text, const std::string& name) {
  const Table table(text, name);
  const std::size_t width = width_of(table, name);
  std::vector<double> chances;
  for (std::size_t away = 1; away <= width; ++away) {
    for (std::size_t other = 1; other <= width; ++other) {
      const double chance = table.chance(away, other);
      const double opposite = table.chance(other, away);
      if (std::abs(chance + opposite - 1.0) > kRounding) {
        table.refuse(away,
                     format("{:g} for {}-away against {}-away and {:g} the other way round", chance,
                            away, other, opposite),
                     "chances that add up to 1");
      }
      // Exactly, whatever was rounded.
      chances.push_back((chance + 1.0 - opposite) / 2.0);
    }
  }
  const MatchEquityTable own(kMatchModel, static_cast<int>(width));
  std::vector<double> after_crawford;
  for (std::size_t away = 1; away <= width; ++away) {
    after_crawford.push_back(table.size() == width + 2
                                 ? table.chance(width + 1, away)
                                 : own.after_crawford(static_cast<int>(away)));
  }
  MatchEquityTable read(std::move(chances), std::move(after_crawford));
  require_falling(table, read);
  return read;
}

MatchEquityTable load_match_table(const std::filesystem::path& path) {
  std::ifstream file(path);
  const std::string text =
      file && !std::filesystem::is_directory(path) ? read_text(file, path.string()) : std::string();
  if (text.empty()) throw InputError("cannot be read", path.string(), "a CSV file");
  return parse_match_table(text, path.string());
}

std::string match_table_csv(const MatchEquityTable& table) {
  std::string text = "away";
  for (int other = 1; other <= table.most_away(); ++other) text += format(",{}", other);
  for (int away = 1; away <= table.most_away(); ++away) {
    text += format("\n{}", away);
    for (int other = 1; other <= table.most_away(); ++other) {
      text += format(",{:.5f}", table.chance(away, other));
    }
  }
  text += std::string("\n") + kAfterCrawford;
  for (int away = 1; away <= table.most_away(); ++away) {
    text += format(",{:.5f}", table.after_crawford(away));
  }
  return text + "\n";
}

}  // namespace sixfold
