#include <algorithm>
#include <array>
#include <vector>

#include "base/markup.h"
#include "report/tables/lesson_tables.h"
#include "report/text/board_text.h"
#include "report/text/flip_text.h"
#include "report/words/fact_table.h"
#include "report/words/flip_words.h"
#include "report/words/names.h"
#include "report/words/notes.h"
#include "report/words/plain_words.h"
#include "rules/notation.h"
#include "study/comparisons.h"
#include "study/ledger.h"

namespace sixfold {
namespace {

/// Text that Markdown would read as its own signs, taken literally.
std::string literal(const std::string& text) {
  std::string safe;
  for (const char c : text) {
    if (std::string_view("\\`*_{}[]<>#|~").find(c) != std::string_view::npos) safe += '\\';
    safe += c;
    if (c == '\n') safe += c;  // a paragraph
  }
  return safe;
}

std::string row_of(const std::vector<std::string>& cells) {
  std::string row = "|";
  for (const std::string& cell : cells) row += " " + cell + " |";
  return row + "\n";
}

std::string table_of(const std::vector<std::string>& heads,
                     const std::vector<std::vector<std::string>>& rows) {
  std::string text = row_of(heads) + row_of(std::vector<std::string>(heads.size(), "---"));
  for (const std::vector<std::string>& row : rows) text += row_of(row);
  return text + "\n";
}

std::string interval(const Estimate& estimate, bool has_sign, double scale = 1.0) {
  const int digits = scale == 1.0 ? 4 : 2;
  const double mean = estimate.mean * scale;
  return with_minus_sign(has_sign ? format("{:+.{}f}", mean, digits)
                                  : format("{:.{}f}", mean, digits)) +
         format(" ± {:.{}f}", estimate.half_width * scale, digits);
}

std::string grid(const Lesson& lesson, Roll roll) {
  std::vector<std::vector<std::string>> rows;
  for (const RolledDecision& cell : lesson.cells) {
    if (*cell.decision.roll != roll) continue;
    const std::vector<RolledPlay>& plays = cell.result.plays;
    std::vector<std::string> row{cell.decision.score.name, literal(play_name(cell, 0)),
                                 interval(plays[0].equity, true)};
    if (plays.size() > 1) {
      const Estimate& cost = plays[1].cost;
      row.insert(row.end(), {literal(play_name(cell, 1)), interval(cost, false),
                             verdict_text(cell, 1)});
    } else {
      row.insert(row.end(), {"–", "–", "–"});
    }
    row.push_back(chance_words(plays[0].best_probability));
    rows.push_back(row);
  }
  if (rows.empty()) return "";
  return table_of({"score", "best play", "equity", "runner-up", "cost", "verdict", "best of all"},
                  rows);
}

/// The outcomes of the best play and another, in per cent.
std::string outcomes_text(const RolledDecision& cell, std::size_t other) {
  std::vector<std::vector<std::string>> rows;
  for (std::size_t o = kOutcomeCount; o-- > 0;) {
    rows.push_back({kOutcomeWords[o], interval(cell.result.plays[0].outcomes[o], false, 100.0),
                    interval(cell.result.plays[other].outcomes[o], false, 100.0)});
  }
  return table_of({"% of games", literal(play_name(cell, 0)), literal(play_name(cell, other))},
                  rows);
}

std::string facts_table(const Lesson& lesson, Roll roll, const Comparison& comparison) {
  const std::array<PlayKey, 2> plays{comparison.best, comparison.other};
  std::vector<std::vector<std::string>> rows;
  for (const FactRow& row : fact_rows(lesson.plan.position, plays)) {
    std::vector<std::string> cells{row.term.name};
    for (const FactRow::Cell& cell : row.cells) {
      cells.push_back(cell.changed ? "**" + cell.text + "**" : cell.text);
    }
    rows.push_back(cells);
  }
  const auto name = [&](PlayKey play) {
    return literal(play_text(lesson.plan.position, roll, play));
  };
  return table_of({"fact (bold: changed)", "before", name(plays[0]), name(plays[1])}, rows);
}

std::string comparison_text(const Lesson& lesson, Roll roll, const Comparison& comparison) {
  const std::string best = play_text(lesson.plan.position, roll, comparison.best);
  const std::string other = play_text(lesson.plan.position, roll, comparison.other);
  std::string text = "### " + literal(best + " against " + other) + "\n\n";
  const std::string facts =
      fact_words(lesson.plan.position, roll, comparison.best, comparison.other);
  if (!facts.empty()) text += literal(facts) + "\n\n";
  text += facts_table(lesson, roll, comparison);
  for (const Comparison::At& at : comparison.at) {
    const RolledDecision& cell = lesson.cells[at.cell];
    text += "**" + cell.decision.score.name + ".** " +
            literal(verdict_words(cell, at.other) + " " + reason_words(cell, at.other)) + "\n\n";
    text += outcomes_text(cell, at.other);
    const Ledger ledger = ledger_of(cell.result.plays[at.other], cell.worth);
    std::vector<std::vector<std::string>> rows;
    for (std::size_t i = 0; i < ledger.lines.size(); ++i) {
      const LedgerLine& line = ledger.lines[i];
      rows.push_back({kShareWords[i], interval(line.change, true, 100.0),
                      format("{:+.2f}", line.price), interval(line.worth, true)});
    }
    if (ledger.cube) rows.push_back({"the cube", "", "", interval(*ledger.cube, true)});
    rows.push_back({"cost", "", "", interval(ledger.cost, true)});
    text += table_of({"what " + literal(best) + " gains", "in 100 games", "worth each", "equity"},
                     rows);
  }
  return text;
}

std::string doubles_text(const Lesson& lesson) {
  if (lesson.doubles.empty()) return "";
  std::vector<std::vector<std::string>> rows;
  for (const CubeStudy& study : lesson.doubles) {
    const CubeDecision& found = study.equities;
    const auto equity = [](const std::optional<double>& value) {
      return value ? format("{:+.4f}", *value) : std::string("–");
    };
    rows.push_back({study.decision.score.name, format("{:+.4f}", found.no_double),
                    equity(found.double_take), equity(found.double_pass), double_words(study)});
  }
  return "## Before the roll: double?\n\n" +
         table_of({"score", "no double", "double, take", "double, pass", "verdict"}, rows);
}

}  // namespace

std::string lesson_markdown(const Lesson& lesson, const LessonTelling& telling,
                            const std::string& command) {
  const LessonPlan& plan = lesson.plan;
  std::string title = plan.title.empty() ? std::string("Lesson") : plan.title;
  std::replace(title.begin(), title.end(), '\n', ' ');
  std::string text = "# " + literal(title) + "\n\n";
  if (!plan.notes.empty()) text += literal(plan.notes) + "\n\n";
  text += "```\n" + board_text(plan.position, std::nullopt, plan.cube) +
          position_text(plan.position) + "\n```\n\n" + doubles_text(lesson);
  for (const Roll roll : plan.rolls) {
    const std::vector<Comparison> pairs = comparisons(lesson, roll);
    const std::string verdicts = grid(lesson, roll);
    if (verdicts.empty()) continue;
    text += "## Roll " + roll_text(roll) + "\n\n";
    const RollRemarks* const remarks = remarks_on(plan, roll);
    if (remarks != nullptr && !remarks->notes.empty()) text += literal(remarks->notes) + "\n\n";
    text += verdicts;
    for (const Comparison& pair : pairs) text += comparison_text(lesson, roll, pair);
    for (std::size_t i = 0; i < lesson.flips.size(); ++i) {
      const FlipStudy& flip = lesson.flips[i];
      if (flip.roll != roll) continue;
      text += "### Where the verdict flips\n\n```\n" + flip_tables(flip) + "```\n\n" +
              literal(flip_words(flip, telling.of_flip(i))) + "\n\n";
    }
  }
  return text + "---\n\n" +
         literal("Computed by Sixfold " + telling.made_by.version + " with " +
                 computed_words(lesson, telling)) +
         "\n\n```\n" + command + "\n```\n";
}

}  // namespace sixfold
