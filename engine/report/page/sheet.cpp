#include "report/page/sheet.h"

#include <algorithm>
#include <cassert>
#include <vector>

#include "base/markup.h"
#include "report/page/board_picture.h"
#include "report/page/charts.h"
#include "report/page/sheet_panels.h"
#include "report/page/sheet_parts.h"
#include "report/page/styles.h"
#include "report/words/fact_table.h"
#include "report/words/names.h"
#include "report/words/notes.h"
#include "report/words/plain_words.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

std::string title_of(const Lesson& lesson) {
  return lesson.plan.title.empty() ? "Lesson" : lesson.plan.title;
}

std::string roll_id(Roll roll) { return "roll-" + roll_text(roll); }

std::string board_figure(const Lesson& lesson, std::optional<Roll> roll) {
  std::string caption =
      "Full discs: the roller, moving towards his home at the bottom right. Ringed: the opponent.";
  if (lesson.plan.cube)
    caption += " Cube " + cube_words(*lesson.plan.cube, lesson.plan.money) + ".";
  return element(
             "figure", {{"class", "main-board"}},
             board_svg({lesson.plan.position, roll, lesson.plan.cube, std::nullopt}) +
                 element("figcaption", {},
                         escaped(caption) + "<br>" +
                             element("code", {}, escaped(position_text(lesson.plan.position))))) +
         "\n";
}

/// A roll at a score in short: the best play, what the runner-up costs, and how sure that is.
std::string glance_cell(const Lesson& lesson, std::size_t number) {
  const RolledDecision& cell = lesson.cells[number];
  const std::vector<RolledPlay>& plays = cell.result.plays;
  std::string html = element("b", {}, escaped(play_name(cell, 0)));
  const char* sure = "● settled; ";
  if (plays.size() > 1) {
    const Estimate& cost = plays[1].cost;
    const JsonPath at = play_path(number, 1) / "cost";
    if (is_open(plays[1])) sure = "○ open; ";
    html +=
        element("span", {{"class", "next"}},
                escaped(play_name(cell, 1)) + " costs " + datum(cost.mean, at / "mean", "{:.3f}") +
                    " ± " + datum(cost.half_width, at / "half_width", "{:.3f}") + ", " +
                    verdict_text(cell, 1));
  }
  html += element("span", {{"class", "sure"}}, sure + chance_words(plays[0].best_probability));
  return element("td", {{"role", "cell"}, {"data-label", cell.decision.score.name}}, html);
}

std::string glance_panel(const Lesson& lesson) {
  if (lesson.cells.empty()) return "";
  std::string head = element("th", {{"scope", "col"}, {"role", "columnheader"}}, "Roll");
  for (const Score& score : lesson.plan.scores) {
    head += element("th", {{"scope", "col"}, {"role", "columnheader"}}, escaped(score.name));
  }
  std::string rows;
  for (const Roll roll : lesson.plan.rolls) {
    std::string row = element("th", {{"scope", "row"}, {"role", "rowheader"}},
                              element("a", {{"href", "#" + roll_id(roll)}}, roll_text(roll)));
    bool any = false;
    for (std::size_t i = 0; i < lesson.cells.size(); ++i) {
      if (*lesson.cells[i].decision.roll != roll) continue;
      row += glance_cell(lesson, i);
      any = true;
    }
    if (any) rows += element("tr", {{"role", "row"}}, row) + "\n";
  }
  return element(
             "section", {{"class", "panel keep"}},
             element("h2", {}, "At a glance") + "\n" +
                 element("table", {{"class", "glance"}, {"role", "table"}},
                         element("caption", {},
                                 "The best play; the runner-up with its cost and verdict; how "
                                 "sure, with the chance that the play is truly the best of all") +
                             element("thead", {}, element("tr", {{"role", "row"}}, head)) + "\n" +
                             element("tbody", {}, "\n" + rows)) +
                 "\n" +
                 element("p", {{"class", "aside"}},
                         "● settled: the cost of the runner-up is beyond its interval. ○ open: "
                         "it is not, and the order of the two may be chance.")) +
         "\n";
}

bool has_results(const Lesson& lesson, Roll roll) {
  return std::any_of(lesson.cells.begin(), lesson.cells.end(),
                     [&](const RolledDecision& cell) { return *cell.decision.roll == roll; });
}

/// What is asked about a roll in a quiz.
std::string question(const Lesson& lesson, Roll roll) {
  std::string scores;
  for (const Score& score : lesson.plan.scores) scores += (scores.empty() ? "" : ", ") + score.name;
  std::string html = paragraphs("words", "How do you play " + roll_text(roll) +
                                             "? And does the score matter: " + scores + "?");
  const RollRemarks* const remarks = remarks_on(lesson.plan, roll);
  if (remarks != nullptr && remarks->plays.size() > 1) {
    std::string plays;
    for (const PlayKey play : remarks->plays) {
      plays += element("li", {}, escaped(play_text(lesson.plan.position, roll, play)));
    }
    html += element("ul", {}, plays) + "\n";
  }
  return html;
}

std::string folded(const std::string& summary, const std::string& content) {
  return element("details", {}, element("summary", {}, escaped(summary)) + "\n" + content) + "\n";
}

std::string roll_section(const Lesson& lesson, const LessonTelling& telling, Roll roll,
                         bool is_quiz) {
  const RollRemarks* const remarks = remarks_on(lesson.plan, roll);
  const std::string notes = remarks == nullptr ? "" : paragraphs("notes", remarks->notes);
  const std::string heading = element("h2", {{"id", roll_id(roll)}, {"class", "roll"}},
                                      dice_svg(roll) + "Roll " + roll_text(roll)) +
                              "\n";
  if (!is_quiz) return heading + notes + roll_panels(lesson, telling, roll);
  const std::string board = board_figure(lesson, roll);
  return element("div", {{"class", "keep"}}, heading + board + question(lesson, roll)) + "\n" +
         folded("Answer to " + roll_text(roll), notes + roll_panels(lesson, telling, roll));
}

std::string double_section(const Lesson& lesson, bool is_quiz) {
  if (lesson.doubles.empty()) return "";
  const std::string heading = element("h2", {}, "Before the roll: double?") + "\n";
  if (!is_quiz)
    return element("section", {{"class", "panel"}}, heading + double_panel(lesson)) + "\n";
  return element("section", {{"class", "panel"}},
                 heading + paragraphs("words", "Do you double? And should the opponent take?") +
                     folded("Answer", double_panel(lesson))) +
         "\n";
}

std::string how_to_read(const LessonPlan& plan) {
  std::string terms;
  const auto add = [&](const std::string& term, const std::string& meaning) {
    terms += element("dt", {}, escaped(term)) + element("dd", {}, escaped(meaning)) + "\n";
  };
  add("±",
      "half the width of an interval that holds the true value 95 times in 100, or as often as "
      "the foot of the sheet says. It covers the luck of the dice, not wrong choices of the "
      "players in the trials.");
  add("equity",
      "points a game at money; at a match score the chance to win the match, scaled so "
      "that losing a single game is −1 and winning one +1");
  add("cost", "what a play gives up in equity against the best one, from trials on the same dice");
  add("open, worse", "whether the interval of a play's cost reaches zero or not");
  add("worth each", "what one more such game is worth in equity at the score");
  add("gammon price", "what a gammon is worth beyond a single win, a win against a loss being one");
  add("3-away/5-away", "points that the roller and the opponent still need to win the match");
  add("dmp", "double match point: both need one point, gammons count for nothing");
  add("gammon-go, gammon-save",
      "the Crawford game, without a cube, in which a gammon wins the match for the roller, who "
      "needs two points; or loses it for the roller, who needs one");
  if (plan.doubling) {
    add("take point", "the chance to win with which the opponent just takes a double");
    add("cash point", "the roller's chance to win from which the opponent passes");
    add("market losers", "sequences of a roll and a reply after which there is no take any more");
  }
  for (const Term& term : glossary()) add(term.name, term.meaning);
  return element("section", {{"class", "panel"}},
                 element("h2", {}, "Terms") + "\n" + element("dl", {}, "\n" + terms)) +
         "\n";
}

std::string foot(const Lesson& lesson, const LessonTelling& telling, const std::string& command) {
  const std::string text =
      "Computed by Sixfold " + telling.made_by.version + " with " + computed_words(lesson, telling);
  return element(
             "footer", {},
             paragraphs("aside", text) + paragraphs("aside", "The same sheet again:") +
                 element("pre", {}, escaped(command)) + "\n" +
                 paragraphs("aside", "Results are estimates by imperfect players, not proofs.")) +
         "\n";
}

}  // namespace

std::string lesson_html(const Lesson& lesson, const LessonTelling& telling,
                        const SheetOptions& options) {
  assert(!lesson.cells.empty() || !lesson.doubles.empty());
  const std::vector<Roll>& rolls = lesson.plan.rolls;
  const std::optional<Roll> only =
      rolls.size() == 1 && !lesson.plan.doubling ? std::optional(rolls.front()) : std::nullopt;
  const std::string glance = glance_panel(lesson);
  std::string body = element("header", {},
                             element("h1", {}, escaped(title_of(lesson))) + "\n" +
                                 paragraphs("notes", lesson.plan.notes)) +
                     "\n<main>\n";
  // In a quiz each roll has a board of its own.
  if (!options.is_quiz || !lesson.doubles.empty()) body += board_figure(lesson, only);
  if (!options.is_quiz) body += glance;
  body += double_section(lesson, options.is_quiz);
  for (const Roll roll : rolls) {
    if (has_results(lesson, roll)) body += roll_section(lesson, telling, roll, options.is_quiz);
  }
  if (options.is_quiz && !glance.empty()) body += folded("All answers at a glance", glance);
  body += how_to_read(lesson.plan) + "</main>\n" + foot(lesson, telling, options.command);
  const std::string head =
      "<meta charset=\"utf-8\">\n"
      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
      "<meta name=\"color-scheme\" content=\"light dark\">\n" +
      element("title", {}, escaped(title_of(lesson))) + "\n" +
      element("style", {}, std::string(picture_style()) + chart_style() + sheet_style());
  return "<!doctype html>\n" +
         element("html", {{"lang", "en"}},
                 "\n" + element("head", {}, "\n" + head + "\n") + "\n" +
                     element("body", {}, "\n" + body) + "\n") +
         "\n";
}

}  // namespace sixfold
