#include <unistd.h>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <cstring>
#include <string>
#include <string_view>
#include <utility>

#include "report/text/board_text.h"
#include "report/words/names.h"
#include "tools/session.h"

namespace sixfold::tools {
namespace {

/// Whether people are looking who have not asked for plain text (https://no-color.org).
bool wants_colour() {
  const auto variable = [](const char* name) {
    const char* value = std::getenv(name);
    return std::string(value == nullptr ? "" : value);
  };
  return isatty(STDOUT_FILENO) != 0 && variable("NO_COLOR").empty() && variable("TERM") != "dumb";
}

std::string in_colour(std::string_view text, const char* colour) {
  return std::string("\033[") + colour + "m" + std::string(text) + "\033[0m";
}

/// A verdict at the end of a line, after a number: a table's last cell, not a word of prose.
void colour_verdict(std::string& line) {
  static constexpr std::array kColours{
      std::pair(Verdict::kBest, "32"), std::pair(Verdict::kClose, "36"),
      std::pair(Verdict::kError, "33"), std::pair(Verdict::kBlunder, "31")};
  for (const auto& [verdict, colour] : kColours) {
    const std::string_view name = verdict_name(verdict);
    if (!line.ends_with(std::string(" ") + std::string(name))) continue;
    const std::size_t begin = line.size() - name.size();
    const std::size_t before = line.find_last_not_of(' ', begin - 1);
    if (before == std::string::npos) return;
    const char last = line[before];
    if (last != '%' && (last < '0' || last > '9')) return;
    line.replace(begin, name.size(), in_colour(name, colour));
    return;
  }
}

void colour_checkers(std::string& line) {
  for (const auto& [checker, colour] :
       {std::pair(kRollerChecker, "1;35"), std::pair(kOpponentChecker, "36")}) {
    const std::string painted = in_colour(checker, colour);
    for (std::size_t at = line.find(checker); at != std::string::npos;
         at = line.find(checker, at + painted.size())) {
      line.replace(at, std::strlen(checker), painted);
    }
  }
}

std::string coloured(const std::string& text) {
  std::string result;
  for (std::size_t begin = 0; begin < text.size();) {
    const std::size_t end = std::min(text.find('\n', begin), text.size());
    std::string line = text.substr(begin, end - begin);
    colour_verdict(line);
    colour_checkers(line);
    result += line;
    if (end < text.size()) result += '\n';
    begin = end + 1;
  }
  return result;
}

}  // namespace

void print_report(const std::string& text) { print(wants_colour() ? coloured(text) : text); }

}  // namespace sixfold::tools
