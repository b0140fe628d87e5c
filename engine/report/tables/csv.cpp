#include "report/tables/csv.h"

#include <algorithm>
#include <array>
#include <optional>
#include <string_view>
#include <utility>
#include <vector>

#include "base/format.h"
#include "report/words/names.h"
#include "report/words/review_words.h"
#include "report/words/roll_words.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

std::string quoted(std::string_view text) {
  if (text.find_first_of(",\"\r\n") == std::string_view::npos) return std::string(text);
  std::string quoted = "\"";
  for (const char c : text) quoted += c == '"' ? std::string("\"\"") : std::string(1, c);
  return quoted + '"';
}

/// A line of a table: cells with the names of their columns.
class Line {
 public:
  Line& text(std::string_view column, std::string_view value) {
    cells_.emplace_back(column, quoted(value));
    return *this;
  }
  Line& number(std::string_view column, std::optional<double> value) {
    return text(column, value ? format("{:.6f}", *value) : "");
  }
  Line& count(std::string_view column, std::optional<std::uint64_t> value) {
    return text(column, value ? std::to_string(*value) : "");
  }
  /// A mean and its half-width.
  Line& estimate(const std::string& column, const std::optional<Estimate>& value) {
    number(column, value ? std::optional(value->mean) : std::nullopt);
    return number(column + "_half_width", value ? std::optional(value->half_width) : std::nullopt);
  }
  Line& append(const Line& other) {
    cells_.insert(cells_.end(), other.cells_.begin(), other.cells_.end());
    return *this;
  }

  /// Puts the names of those columns that are not there yet behind the others.
  void add_columns_to(std::vector<std::string>& columns) const {
    for (const auto& [name, value] : cells_) {
      if (std::find(columns.begin(), columns.end(), name) == columns.end()) columns.push_back(name);
    }
  }
  /// Empty where the line has no such column.
  [[nodiscard]] std::string cell(const std::string& column) const {
    for (const auto& [name, value] : cells_) {
      if (name == column) return value;
    }
    return "";
  }

 private:
  std::vector<std::pair<std::string, std::string>> cells_;
};

std::string row_of(const std::vector<std::string>& cells) {
  std::string row;
  for (std::size_t c = 0; c < cells.size(); ++c) row += (c == 0 ? "" : ",") + cells[c];
  return row + "\r\n";
}

/// The table has all columns that any of its lines has.
Csv table_of(const std::vector<Line>& lines) {
  std::vector<std::string> columns;
  for (const Line& line : lines) line.add_columns_to(columns);
  Csv csv{lines.empty() ? std::string() : row_of(columns), ""};
  for (const Line& line : lines) {
    std::vector<std::string> cells;
    for (const std::string& column : columns) cells.push_back(line.cell(column));
    csv.lines += row_of(cells);
  }
  return csv;
}

/// What was asked, and what answers.
Line line_of(const Decision& decision, const Provenance& made_by,
             const std::optional<std::uint64_t>& seed) {
  const MoneyRules& money = decision.money;
  Line line;
  line.text("position", position_text(decision.position));
  line.text("dice", decision.roll ? roll_text(*decision.roll) : "");
  line.text("score", decision.score.name).text("cube", asked_cube(decision.cube));
  line.text("money_rules", money.jacoby    ? money.beavers ? "jacoby beavers" : "jacoby"
                           : money.beavers ? "beavers"
                                           : "");
  line.text("net", made_by.net);
  // Nobody else has a column for it: of most tables it would be an empty one.
  if (seed && !made_by.opponent_net.empty()) line.text("opponent_net", made_by.opponent_net);
  line.count("seed", seed);
  return line;
}

std::optional<Estimate> if_any(bool is_there, const Estimate& estimate) {
  return is_there ? std::optional(estimate) : std::nullopt;
}

void add_outcomes(Line& line, const OutcomeDistribution& outcomes) {
  for (std::size_t o = 0; o < kOutcomeCount; ++o) line.number(kOutcomeFields[o], outcomes[o]);
}

/// A position before the dice or a play, of which an evaluation tells the same.
template <typename Evaluated>
void add_evaluated(Line& line, const Evaluation& evaluation, const Evaluated& evaluated) {
  line.number("equity", evaluated.equity).number("cubeless_equity", evaluated.cubeless_equity);
  line.number("match_winning_chance", match_chance(evaluation.decision, evaluated.equity));
  add_outcomes(line, evaluated.outcomes);
  line.text("method", method_name(evaluated.method));
  line.text("equity_method",
            evaluation.is_cube_alive ? equity_method_name(evaluated.is_exact) : "");
}

/// A line for each play.
std::vector<Line> lines_of(const RolledDecision& rolled, const Provenance& made_by) {
  std::vector<Line> lines;
  for (std::size_t i = 0; i < rolled.result.plays.size(); ++i) {
    const RolledPlay& play = rolled.result.plays[i];
    const bool is_told = !play.at_least;
    const auto grade = i == 0 ? std::nullopt : grade_of(play, rolled.grades);
    Line& line = lines.emplace_back(line_of(rolled.decision, made_by, rolled.settings.seed));
    line.count("rank", i + 1).text("play", play_name(rolled, i)).count("trials", play.trials);
    line.text("verdict", verdict_name(verdict_of(i == 0, play)));
    line.text("grade", grade ? grade_name(*grade) : "");
    line.estimate("cost", if_any(is_told, play.cost)).number("cost_at_least", play.at_least);
    line.estimate("equity", if_any(is_told, play.equity));
    line.estimate("cubeless_equity", if_any(is_told, cubeless_equity(play)));
    line.estimate("match_winning_chance",
                  is_told ? match_chance(rolled.decision, play.equity) : std::nullopt);
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      line.estimate(kOutcomeFields[o], if_any(is_told, play.outcomes[o]));
    }
    line.number("best_probability", play.best_probability);
    line.text("dearest_rolls", is_told ? dearest_rolls(play) : "");
  }
  return lines;
}

Line line_of(const CubeStudy& study, const Provenance& made_by) {
  const CubeDecision& found = study.equities;
  const auto& rolled = study.rolled;
  const auto half_width = [](const std::optional<Estimate>& estimate) {
    return estimate ? std::optional(estimate->half_width) : std::nullopt;
  };
  const bool is_taken = rolled && rolled->double_take;
  Line line =
      line_of(study.decision, made_by, rolled ? std::optional(study.settings.seed) : std::nullopt);
  line.text("action", action_text(found.action));
  line.text("method", study.is_exact ? "exact" : rolled ? "rollout" : "model");
  line.count("trials", rolled ? std::optional(rolled->no_double.trials) : std::nullopt);
  const auto add = [&](const std::string& action, const std::optional<double>& equity,
                       const std::optional<Estimate>& estimate) {
    line.number(action, equity).number(action + "_half_width", half_width(estimate));
    const auto chance = equity ? match_chance(study.decision, *equity) : std::nullopt;
    line.number(action + "_match_winning_chance", chance);
  };
  add("no_double", found.no_double,
      rolled ? std::optional(rolled->no_double.equity) : std::nullopt);
  add("double_take", found.double_take,
      is_taken ? std::optional(rolled->double_take->equity) : std::nullopt);
  add("double_pass", found.double_pass, {});
  line.estimate("difference", is_taken ? std::optional(rolled->difference) : std::nullopt);
  for (std::size_t o = 0; o < kOutcomeCount; ++o) {
    line.number(kOutcomeFields[o], study.outcomes[o]);
    line.number(std::string(kOutcomeFields[o]) + "_half_width",
                rolled ? std::optional(rolled->no_double.outcomes[o].half_width) : std::nullopt);
  }
  line.text("double_gains_with", is_taken ? gaining_rolls(study) : "");
  return line;
}

/// A table with two more columns in front, the same on each line.
Csv behind(const std::array<std::string_view, 2>& columns,
           const std::array<std::string_view, 2>& cells, const Csv& csv) {
  const std::string front = format("{},{},", quoted(cells.front()), quoted(cells.back()));
  Csv whole;
  if (!csv.heading.empty()) {
    whole.heading = format("{},{},{}", columns.front(), columns.back(), csv.heading);
  }
  // A quoted text may have line ends too: only those after an even number of quotes end a line.
  bool is_quoted = false;
  bool begins = true;
  for (const char c : csv.lines) {
    if (begins) whole.lines += front;
    whole.lines += c;
    if (c == '"') is_quoted = !is_quoted;
    begins = c == '\n' && !is_quoted;
  }
  return whole;
}

}  // namespace

Csv evaluation_csv(const Evaluation& evaluation, const Provenance& made_by) {
  const Decision& decision = evaluation.decision;
  std::vector<Line> lines;
  if (!decision.roll) {
    Line& line = lines.emplace_back(line_of(decision, made_by, {}));
    line.text("rank", "").text("play", "").text("cost", "");
    add_evaluated(line, evaluation, evaluation);
  }
  for (std::size_t i = 0; i < evaluation.plays.size(); ++i) {
    const EvaluatedPlay& play = evaluation.plays[i];
    Line& line = lines.emplace_back(line_of(decision, made_by, {}));
    line.count("rank", i + 1).text("play", play_text(decision.position, *decision.roll, play.play));
    line.number("cost", play.cost);
    add_evaluated(line, evaluation, play);
  }
  return table_of(lines);
}

Csv rollout_csv(const RolledDecision& rolled, const Provenance& made_by) {
  return table_of(lines_of(rolled, made_by));
}

Csv cube_csv(const CubeStudy& study, const Provenance& made_by) {
  return table_of({line_of(study, made_by)});
}

Csv review_csv(const MatchReview& review, const Provenance& made_by) {
  std::vector<Line> lines;
  for (const ReviewedGame& game : review.games) {
    for (const ReviewedTurn& turn : game.turns) {
      Line& line = lines.emplace_back();
      line.count("game", game.number).count("turn", turn.number);
      line.text("player", review.match.players[static_cast<std::size_t>(turn.player)]);
      line.text("kind", kind_name(turn.kind));
      line.append(line_of(turn.decision, made_by, {}));
      line.text("played", played_text(turn)).text("best", best_text(turn));
      line.number("cost", turn.cost).text("judged_by", judge_name(turn.judged_by));
      line.number("cost_half_width", turn.half_width);
      line.number("luck", turn.luck).number("worth", turn.worth);
      line.number("moves", moved_by(turn)).number("value", turn.value);
    }
  }
  return table_of(lines);
}

Csv entry_csv(const EntryName& entry, const Csv& csv) {
  const std::string number = std::to_string(entry.number);
  return behind({"entry", "title"}, {number, entry.title}, csv);
}

Csv named_csv(std::string_view id, std::string_view title, const Csv& csv) {
  return behind({"id", "title"}, {id, title}, csv);
}

Csv distribution_csv(const OutcomeDistribution& outcomes, const Score& score) {
  Line line;
  line.text("score", score.name);
  add_outcomes(line, outcomes);
  return table_of({line});
}

Csv lesson_csv(const Lesson& lesson, const Provenance& made_by) {
  std::vector<Line> lines;
  const auto add = [&](const char* kind, const Line& line) {
    lines.emplace_back().text("kind", kind).append(line);
  };
  for (const RolledDecision& cell : lesson.cells) {
    for (const Line& line : lines_of(cell, made_by)) add("play", line);
  }
  for (const CubeStudy& study : lesson.doubles) add("double", line_of(study, made_by));
  return table_of(lines);
}

}  // namespace sixfold
