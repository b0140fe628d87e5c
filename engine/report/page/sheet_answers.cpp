#include "report/page/sheet_answers.h"

#include <optional>

#include "base/markup.h"
#include "report/page/sheet_parts.h"
#include "report/words/cube_words.h"
#include "report/words/findings.h"
#include "report/words/names.h"
#include "report/words/plain_words.h"
#include "rules/notation.h"
#include "study/comparisons.h"

namespace sixfold {
namespace {

struct Answer {
  std::string score;
  std::string choice;
  std::string sure;   ///< Markup, like what follows.
  std::string rival;  ///< And what it costs; may be empty.
};

/// A row that is laid out in one or two lines: its parts keep their roles.
std::string answer_row(const Answer& answer) {
  return element("tr", {{"role", "row"}},
                 element("th", {{"scope", "row"}, {"role", "rowheader"}},
                         unbroken_words(answer.score)) +
                     list_cell("choice", "", escaped(answer.choice)) +
                     list_cell("sure", "", answer.sure) +
                     (answer.rival.empty() ? "" : list_cell("rival", "", answer.rival))) +
         "\n";
}

std::string group_row(const std::string& name) {
  return element("tr", {{"class", "group"}, {"role", "row"}},
                 element("th", {{"scope", "rowgroup"}, {"role", "rowheader"}}, name)) +
         "\n";
}

/// The closest rival and what it costs; of several that are open the others are counted.
std::string rival(const RolledDecision& cell, std::size_t number) {
  const std::optional<std::size_t> second = closest_rival(cell);
  if (!second) return "";
  const std::vector<std::size_t> open = open_ranks(cell);
  const RolledPlay& play = cell.result.plays[*second];
  const std::string name = escaped(play_name(cell, *second));
  if (is_equal(play)) return name + " is as good";
  std::string text = name + " costs " + cost_data(play, play_path(number, *second));
  if (open.size() > 1) {
    text += format(", {} more {} open", open.size() - 1, open.size() == 2 ? "is" : "are");
  }
  return text;
}

std::string play_answer(const Lesson& lesson, std::size_t number) {
  const RolledDecision& cell = lesson.cells[number];
  const std::vector<RolledPlay>& plays = cell.result.plays;
  std::string sure = "no choice";
  if (plays.size() > 1) sure = sureness(open_ranks(cell).empty());
  if (!open_ranks(cell).empty()) sure += ", " + chance_words(plays.front().best_probability);
  return answer_row({cell.decision.score.name, play_name(cell, 0), sure, rival(cell, number)});
}

std::string double_answer(const CubeStudy& study, const JsonPath& at) {
  const CubeDecision& found = study.equities;
  if (!found.double_take) {
    return answer_row({study.decision.score.name, wait_name(), "no choice",
                       escaped(no_double_reason(study.decision))});
  }
  const CubeCosts costs = costs_of(found);
  std::string next;
  const auto add = [&](const char* what, double cost, const char* field) {
    if (cost <= 0.0) return;
    next += (next.empty() ? "" : ", ") + std::string(what) + " costs " +
            datum(cost, at / "costs" / field, "{:.3f}");
  };
  add("waiting", costs.no_double, "no_double");
  add("doubling", costs.doubling, "double");
  add("taking", costs.take, "take");
  add("passing", costs.pass, "pass");
  std::string sure = sureness_words(study);
  if (study.rolled) sure = sureness(sure == "settled");
  return answer_row({study.decision.score.name, action_words(found), sure, next});
}

}  // namespace

std::string answers_panel(const Lesson& lesson) {
  std::string rows;
  if (!lesson.doubles.empty()) rows += group_row("Before the roll");
  for (std::size_t i = 0; i < lesson.doubles.size(); ++i) {
    rows += double_answer(lesson.doubles[i], double_path(i));
  }
  for (const Roll roll : lesson.plan.rolls) {
    const std::vector<std::size_t> cells = cells_of(lesson, roll);
    if (cells.empty()) continue;
    const std::string text = roll_text(roll);
    rows += group_row(element("a", {{"href", "#roll-" + text}}, "Roll " + text));
    for (const std::size_t c : cells) rows += play_answer(lesson, c);
  }
  return element("div", {{"class", "answers keep"}},
                 element("table", {{"class", "glance"}, {"role", "table"}},
                         element("caption", {}, "The answer at each score") + "\n" +
                             element("tbody", {{"role", "rowgroup"}}, "\n" + rows)) +
                     "\n" + paragraphs("aside", sureness_legend(findings_of(lesson)))) +
         "\n";
}

}  // namespace sixfold
