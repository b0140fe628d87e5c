#include "report/page/sheet.h"

#include <algorithm>
#include <cassert>
#include <optional>
#include <vector>

#include "base/markup.h"
#include "report/page/board_picture.h"
#include "report/page/sheet_answers.h"
#include "report/page/sheet_panels.h"
#include "report/page/sheet_parts.h"
#include "report/page/sheet_roll.h"
#include "report/page/sheet_terms.h"
#include "report/words/lesson_words.h"
#include "report/words/notes.h"
#include "report/words/warnings.h"
#include "rules/notation.h"
#include "study/comparisons.h"

namespace sixfold {
namespace {

std::string title_of(const Lesson& lesson) {
  return lesson.plan.title.empty() ? "Lesson" : lesson.plan.title;
}

/// What is asked of rolls, or before the roll, and at which scores.
std::string question(const Lesson& lesson, const std::vector<Roll>& rolls, bool is_double) {
  return paragraphs("question", question_words(lesson.plan, rolls, is_double));
}

std::string board_figure(const Lesson& lesson, std::optional<Roll> roll) {
  const Position& position = lesson.plan.position;
  std::string html =
      board_svg({position, roll, cube_of(lesson.plan), std::nullopt}) +
      element(
          "figcaption", {},
          escaped("Full discs: the roller, moving towards his home at the bottom right. Ringed: "
                  "the opponent. " +
                  cube_note(lesson.plan)) +
              "<br>" + element("code", {}, position_markup(position)));
  for (const std::string& warning : position_warnings(position)) {
    html += paragraphs("warning", "Warning: " + warning);
  }
  return element("figure", {{"class", "main-board"}}, html) + "\n";
}

/// A quiz asks about one roll at a time, and names the plays that the author compares.
std::string quiz_question(const Lesson& lesson, Roll roll) {
  std::string html = question(lesson, {roll}, false);
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

std::string roll_section(const Lesson& lesson, const LessonTelling& telling, Roll roll,
                         bool is_quiz) {
  const RollRemarks* const remarks = remarks_on(lesson.plan, roll);
  const std::string heading = element("h2", {{"id", "roll-" + roll_text(roll)}, {"class", "roll"}},
                                      dice_svg(roll) + "Roll " + roll_text(roll)) +
                              "\n";
  const std::string told = (remarks == nullptr ? "" : paragraphs("notes", remarks->notes)) +
                           side_by_side_panel(lesson, roll) + folded_parts(lesson, telling, roll);
  const std::string content =
      is_quiz ? element("div", {{"class", "keep"}},
                        heading + board_figure(lesson, roll) + quiz_question(lesson, roll)) +
                    "\n" + folded("answer", "Answer to " + roll_text(roll), told)
              : heading + told;
  return element("section", {{"class", "panel"}}, content) + "\n";
}

std::string double_section(const Lesson& lesson, bool is_quiz) {
  if (lesson.doubles.empty()) return "";
  const std::string told = double_panel(lesson);
  return element(
             "section", {{"class", "panel"}},
             element("h2", {}, "Before the roll: double?") + "\n" +
                 (is_quiz ? question(lesson, {}, true) + folded("answer", "Answer", told) : told)) +
         "\n";
}

/// Empty where the sheet is on its own.
std::string link_home(const std::string& home) {
  if (home.empty()) return "";
  return element("p", {{"class", "aside home"}}, element("a", {{"href", home}}, "← All entries")) +
         "\n";
}

/// The page's top: what is asked, the position, and, but for a quiz, the answers.
std::string top(const Lesson& lesson, const LessonTelling& telling, const SheetOptions& options) {
  const std::vector<Roll> rolls = rolls_with_results(lesson);
  const std::optional<Roll> only =
      rolls.size() == 1 && !lesson.plan.doubling ? std::optional(rolls.front()) : std::nullopt;
  const bool is_quiz = options.is_quiz;
  std::string html =
      element("header", {},
              link_home(options.home) + element("h1", {}, escaped(title_of(lesson))) + "\n" +
                  paragraphs("notes", lesson.plan.notes) +
                  paragraphs("opponent", opponent_note(telling.made_by))) +
      "\n<main>\n";
  if (!is_quiz) {
    html += question(lesson, rolls, !lesson.doubles.empty());
    return html +
           element("div", {{"class", "top"}}, board_figure(lesson, only) + answers_panel(lesson)) +
           "\n";
  }
  // In a quiz each roll has a board of its own.
  return lesson.doubles.empty() ? html : html + board_figure(lesson, only);
}

std::string foot(const Lesson& lesson, const LessonTelling& telling, const std::string& command) {
  return page_foot(
      "Computed by Sixfold " + telling.made_by.version + " with " + computed_words(lesson, telling),
      "The same sheet again:", command);
}

}  // namespace

std::string lesson_html(const Lesson& lesson, const LessonTelling& telling,
                        const SheetOptions& options) {
  assert(!lesson.cells.empty() || !lesson.doubles.empty());
  std::string body = top(lesson, telling, options) + double_section(lesson, options.is_quiz);
  for (const Roll roll : rolls_with_results(lesson)) {
    body += roll_section(lesson, telling, roll, options.is_quiz);
  }
  if (options.is_quiz) body += folded("answer", "All answers at a glance", answers_panel(lesson));
  const std::string end = foot(lesson, telling, options.command);
  body += terms_box(body + end) +
          print_choice(options.is_quiz ? "Print the answers too, with all that is folded"
                                       : "Print all that is folded too") +
          "</main>\n" + end;
  return page_html(title_of(lesson), body);
}

}  // namespace sixfold
