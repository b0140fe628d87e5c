#include "tools/starts.h"

#include <filesystem>
#include <fstream>

#include "base/bounded_reading.h"
#include "base/input_error.h"
#include "report/json/sample_line.h"
#include "rules/notation.h"

namespace sixfold::tools {
namespace {

Position start_of(const std::string& line, int checkers) {
  const Position start =
      line.front() == '{' ? parse_sampled_position(line, checkers) : parse_position(line, checkers);
  if (game_over(start)) throw InputError("the game is over", "", "an open position");
  return start;
}

}  // namespace

std::vector<Position> read_starts(const std::string& file, int checkers) {
  std::ifstream in(file);
  if (!in || std::filesystem::is_directory(file)) {
    throw InputError("cannot be read", file, "a file of positions");
  }
  std::vector<Position> starts;
  LineReader lines(in, file);
  while (lines.next()) {
    const std::string& line = lines.line();
    if (line.empty() || line.front() == '#') continue;
    inside(file + ", line " + std::to_string(lines.number()), [&] {
      lines.require_whole();
      starts.push_back(start_of(line, checkers));
    });
  }
  if (starts.empty()) throw InputError("no position", file, "a position on a line");
  return starts;
}

}  // namespace sixfold::tools
