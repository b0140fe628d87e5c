#include "study/lesson.h"

#include <algorithm>
#include <filesystem>
#include <optional>

#include "base/atomic_file.h"
#include "base/clean_text.h"
#include "base/input_error.h"
#include "report/json/json_report.h"
#include "report/json/lesson_file.h"
#include "report/page/board_picture.h"
#include "report/text/lesson_text.h"
#include "rules/notation.h"
#include "tools/commands.h"
#include "tools/questions.h"
#include "tools/sheets.h"

namespace sixfold::tools {
namespace {

std::vector<Roll> parse_rolls(const std::string& text, const std::string& what) {
  std::vector<Roll> rolls;
  for (const std::string& part : comma_list(text, what)) {
    const Roll roll = parse_roll(part);
    if (std::find(rolls.begin(), rolls.end(), roll) != rolls.end()) {
      throw InputError("a duplicate '" + part + "'", what, "each roll once");
    }
    rolls.push_back(roll);
  }
  return rolls;
}

/// What was typed beside a lesson file counts, whatever the file says.
void let_typed_win(const LessonOptions& options, const LessonPlan& typed, LessonPlan& plan) {
  const auto is_typed = [&](const char* option) { return options.typed.contains(option); };
  if (is_typed("--trials")) plan.settings.trials = typed.settings.trials;
  if (is_typed("--half-width")) plan.settings.half_width = typed.settings.half_width;
  if (is_typed("--most-trials")) plan.settings.most_trials = typed.settings.most_trials;
  if (is_typed("--confidence")) plan.settings.confidence = typed.settings.confidence;
  if (is_typed("--seed")) plan.settings.seed = typed.settings.seed;
  if (is_typed("--error")) plan.grades.error = typed.grades.error;
  if (is_typed("--blunder")) plan.grades.blunder = typed.grades.blunder;
  if (is_typed("--score")) plan.scores = typed.scores;
  if (is_typed("--cube")) plan.cube = typed.cube;
  if (is_typed("--jacoby")) plan.money.jacoby = true;
  if (is_typed("--beavers")) plan.money.beavers = true;
  if (plan.doubling && plan.cube.is_left_out()) {
    throw InputError("the lesson asks whether to double", "--cube none", "a cube");
  }
}

/// The rolls of a lesson that is given by options.
void read_rolls(const LessonOptions& options, LessonPlan& plan) {
  const std::string& dice = options.rollout.decision.dice;
  if (dice.empty()) throw InputError("no rolls", "dice", "such as 31,64");
  plan.rolls = parse_rolls(dice, "dice");
  if (!options.flips.empty()) plan.flips = parse_rolls(options.flips, "--flip");
  for (const Roll roll : plan.flips) {
    if (std::find(plan.rolls.begin(), plan.rolls.end(), roll) == plan.rolls.end()) {
      throw InputError(roll_text(roll) + " is not a roll of the lesson", "--flip",
                       "one of " + dice);
    }
  }
}

bool is_from_standard_input(const LessonOptions& options) { return options.file == "-"; }

std::string lesson_name(const LessonOptions& options) {
  return is_from_standard_input(options) ? "lesson on standard input" : "lesson " + options.file;
}

LessonPlan plan_of(const LessonOptions& options, const Core& core) {
  const PositionOptions& common = options.rollout.decision;
  const Rolling& rolling = options.rollout.rolling;
  LessonPlan plan = usual_lesson(core, rolling);
  if (options.typed.contains("--score")) {
    plan.scores = parse_scores(common.scores, core.match_table());
  }
  plan.cube = parse_asked_cube(common.cube);
  plan.money = {common.jacoby, common.beavers};
  plan.grades = {rolling.error, rolling.blunder};
  if (options.file.empty()) {
    plan.position = asked_position(question_of(common));
    read_rolls(options, plan);
    return plan;
  }
  if (!common.position.empty() || !common.after.empty() || !common.dice.empty() ||
      !options.flips.empty() || common.both_from_roller || options.typed.contains("--checkers")) {
    throw InputError("a lesson file and a position or rolls beside it", lesson_name(options),
                     "one or the other");
  }
  LessonPlan read = parse_lesson(text_of_file(options.file, "lesson file", "a lesson in JSON"),
                                 lesson_name(options), plan, core.match_table());
  let_typed_win(options, plan, read);
  return read;
}

/// Refuses, before any work is done, what could not be written or would write over something else.
void require_outputs(const LessonOptions& options) {
  const bool force = options.rollout.decision.force;
  Files files = files_of(options.rollout.decision);
  files.reads(options.file);
  bool any_page = false;
  for (const std::string& out : options.outs) {
    if (!is_sheet(out)) {
      const std::string kind = std::filesystem::path(out).extension().string();
      throw InputError("'" + kind + "' is no kind of sheet", "--out " + out,
                       ".html, .md, .csv or .json");
    }
    files.writes(out, "--out", force);
    any_page = any_page || std::filesystem::path(out).extension() == ".html";
  }
  const std::string& diagram = options.rollout.decision.diagram;
  if (!diagram.empty()) files.writes(diagram, "--diagram", force);
  if (options.is_quiz && !any_page) {
    throw InputError("there is no page to fold answers in", "--quiz", "--out with an .html file");
  }
}

}  // namespace

int run_lesson(const LessonOptions& options) {
  const PositionOptions& common = options.rollout.decision;
  require_outputs(options);
  Output output(common);
  Engine engine = engine_of(common, options.rollout.threads);
  Core& core = engine.core();
  const LessonPlan plan = plan_of(options, core);
  if (!common.diagram.empty()) {
    const std::optional<Roll> roll =
        plan.rolls.size() == 1 && !plan.doubling ? std::optional(plan.rolls.front()) : std::nullopt;
    write_file_atomically(common.diagram,
                          board_svg_file({plan.position, roll, cube_of(plan), std::nullopt}));
  }
  warn_of(plan.position);
  Work work(common.quiet,
            (plan.rolls.size() + (plan.doubling ? 1 : 0)) * plan.scores.size() + plan.flips.size());
  LessonClock clock;
  std::size_t cell = 0;
  const Lesson lesson = core.lesson(plan, work.watch(), [&](const LessonPart& started) {
    clock.start(started.kind);
    if (started.kind == LessonPart::Kind::kCell) cell = started.number;
    work.begin(lesson_part(plan, started, cell));
  });
  const LessonTelling telling = clock.telling(core.provenance());
  work.clear();
  // Sheets first: that the report can't be printed loses nothing.
  const bool any = !lesson.cells.empty() || !lesson.doubles.empty();
  const WrittenSheets written =
      any ? write_sheets(
                options.outs,
                [&](const std::string& kind) {
                  return sheet_of(lesson, telling, kind, {options.is_quiz, options.command});
                })
          : WrittenSheets();
  output.add([&] { return lesson_json(lesson, telling); },
             [&] { return lesson_csv(lesson, telling.made_by); },
             [&] { return lesson_text(lesson, telling, terminal_style()) + written.told; });
  if (written.error) throw *written.error;
  return interrupted() ? kInterrupted : kDone;
}

}  // namespace sixfold::tools
