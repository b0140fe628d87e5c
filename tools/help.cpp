#include "tools/help.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <utility>

#include "base/clean_text.h"
#include "base/format.h"

namespace sixfold::tools {
namespace {

constexpr std::array<std::pair<std::string_view, std::string_view>, 13> kExamples{{
    {"evaluate",
     "  sixfold evaluate --after \"31: 8/5 6/5\" --dice 64\n"
     "  sixfold evaluate --position \"6x3 5 / 4x2 1\" --score 3-away/5-away\n"
     "  sixfold evaluate --requests questions.jsonl > answers.jsonl"},
    {"rollout",
     "  sixfold rollout --after \"31: 8/5 6/5\" --dice 64 --score money,gammon-go\n"
     "  sixfold rollout --after \"31: 8/5 6/5\" --dice 64 --plays \"24/14; 8/2* 6/2\"\n"
     "  sixfold rollout --position \"6x2 5 / 4x2 3\" --dice 21 --half-width .002 --csv"},
    {"cube",
     "  sixfold cube --after \"31: 8/5 6/5, 61: 13/7 8/7\" --score money,3-away/5-away\n"
     "  sixfold cube --position \"5 2 / 4 1\" --cube roller:2\n"
     "  sixfold cube --after \"31: 8/5 6/5, 61: 13/7 8/7\" --half-width .02"},
    {"equities",
     "  sixfold equities --score 3-away/5-away\n"
     "  sixfold equities --csv > table.csv"},
    {"flip",
     "  sixfold flip --after \"31: 8/5 6/5\" --dice 64\n"
     "  sixfold flip --after \"31: 8/5 6/5\" --dice 64 --trials 1800 --json"},
    {"lesson",
     "  sixfold lesson lesson.json --out sheet.html --out sheet.md\n"
     "  sixfold lesson --after \"43: 13/10 13/9\" --dice 31,64 --score money,dmp\n"
     "  generate_lesson | sixfold lesson - --json"},
    {"match",
     "  sixfold match evening.sgf\n"
     "  sixfold match evening.sgf --depth rollout --out review.html\n"
     "  sixfold match evening.txt --csv > decisions.csv\n"
     "  sixfold match evening.txt --depth rollout --queue night.db"},
    {"solve",
     "  sixfold solve --checkers 2\n"
     "  sixfold solve --checkers 3 --json"},
    {"train",
     "  sixfold train --recipe quick --out net.safetensors\n"
     "  sixfold train --luck-for net.safetensors --recipe quick --out fast.safetensors\n"
     "  sixfold train --recipe quick --out net.safetensors --resume"},
    {"sample",
     "  sixfold sample --out positions.jsonl\n"
     "  sixfold sample --out positions.npy --positions 100000 --explore .2\n"
     "  sixfold sample --out rolled.npy --positions 1000 --trials 144 --from race.txt"},
    {"duel",
     "  sixfold duel net.safetensors nets/standard.safetensors --pairs 2000\n"
     "  sixfold duel a.safetensors b.safetensors --score dmp --json"},
    {"queue",
     "  sixfold queue add --db night.db positions.jsonl lesson.json\n"
     "  sixfold queue run --db night.db --until 07:00 --nice 10 --log night.log\n"
     "  sixfold queue list --db night.db\n"
     "  sixfold queue report --db night.db --out report"},
    {"board",
     "  sixfold board\n"
     "  sixfold board --queue night.db --match evening.sgf\n"
     "  sixfold board --port 8400 --no-open"},
}};

/// What was typed, cut where it is too long to be a slip of a digit.
std::string beginning_of(std::string_view text) {
  constexpr std::size_t kLongest = 24;
  if (text.size() <= kLongest) return std::string(text);
  return std::string(text.substr(0, kLongest)) + "...";
}

/// As shells read it. Control characters, and bytes that are no text, are written by their numbers,
/// so that a command stays one line of text wherever it is shown.
std::string shell_word(std::string_view word) {
  constexpr std::string_view kPlain =
      "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-./=,:+%@";
  if (!word.empty() && word.find_first_not_of(kPlain) == std::string_view::npos) {
    return std::string(word);
  }
  const bool is_text = clean_line(word) == word && word.find('\t') == std::string_view::npos;
  std::string text = is_text ? "'" : "$'";
  for (const char c : word) {
    if (c == '\'' || (c == '\\' && !is_text)) {
      text += is_text ? "'\\''" : std::string("\\") + c;
    } else if (!is_text && (c < ' ' || c > '~')) {
      text += format("\\{:03o}", static_cast<unsigned char>(c));
    } else {
      text += c;
    }
  }
  return text + '\'';
}

}  // namespace

std::string examples_of(std::string_view command) {
  for (const auto& [name, examples] : kExamples) {
    if (name == command) return "Examples:\n" + std::string(examples);
  }
  return "";
}

std::string complaint_about_whole(std::string_view text, std::uint64_t least, std::uint64_t most) {
  std::uint64_t value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error == std::errc() && end == text.data() + text.size() && least <= value && value <= most) {
    return "";
  }
  const std::string range = most == ~std::uint64_t{0} ? format("from {} on", least)
                                                      : format("from {} to {}", least, most);
  return format("'{}' is not a whole number {}", beginning_of(text), range);
}

std::string complaint_about_number(std::string_view text, double least, double most, bool above) {
  double value = 0.0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  const bool is_number = error == std::errc() && end == text.data() + text.size();
  const bool is_in = value <= most && (above ? value > least : value >= least);
  if (is_number && is_in) return "";
  return format("'{}' is not a number {} {:g} {} {:g}", beginning_of(text),
                above ? "above" : "from", least, above ? "and up to" : "to", most);
}

std::string shell_words(int count, char** words) {
  std::string text = "sixfold";
  for (int i = 1; i < count; ++i) text += ' ' + shell_word(words[i]);
  return text;
}

}  // namespace sixfold::tools
