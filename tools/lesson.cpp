#include "study/lesson.h"

#include <algorithm>
#include <array>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <set>

#include "exact/atomic_file.h"
#include "rules/input_error.h"
#include "rules/notation.h"
#include "study/board_picture.h"
#include "study/json_report.h"
#include "study/sheet.h"
#include "study/text_report.h"
#include "tools/commands.h"
#include "tools/evaluators.h"

namespace sixfold::tools {
namespace {

constexpr const char* kLessonScores = "money,dmp,gammon-go,gammon-save";

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

LessonPlan plan_of(const LessonOptions& options) {
  const PositionOptions& common = options.rollout.decision;
  LessonPlan plan;
  plan.scores =
      parse_scores(options.scores_given ? common.scores : kLessonScores, common.match_table);
  if (!common.cube.empty()) plan.cube = parse_cube(common.cube);
  plan.money = common.money;
  plan.settings = rollout_settings(options.rollout);
  plan.thresholds = thresholds(options.rollout);
  if (options.file.empty()) {
    plan.position = chosen_position(common.position, common.after, common.checkers);
    if (common.dice.empty()) throw InputError("no rolls", "dice", "such as 31,64");
    plan.rolls = parse_rolls(common.dice, "dice");
    if (!options.flips.empty()) plan.flips = parse_rolls(options.flips, "--flip");
    for (const Roll roll : plan.flips) {
      if (std::find(plan.rolls.begin(), plan.rolls.end(), roll) == plan.rolls.end()) {
        throw InputError(roll_text(roll) + " is not a roll of the lesson", "--flip",
                         "one of " + common.dice);
      }
    }
    return plan;
  }
  if (!common.position.empty() || !common.after.empty() || !common.dice.empty() ||
      !options.flips.empty()) {
    throw InputError("a lesson file and a position or rolls beside it", "lesson " + options.file,
                     "one or the other");
  }
  std::ifstream file(options.file);
  if (!file || std::filesystem::is_directory(options.file)) {
    throw InputError("cannot be read", "lesson file " + options.file, "a lesson in JSON");
  }
  const std::string text{std::istreambuf_iterator<char>(file), {}};
  return parse_lesson(text, "lesson " + options.file, plan, match_equities(common.match_table));
}

constexpr std::array<const char*, 4> kSheetKinds{".html", ".md", ".csv", ".json"};

/// Refuses a file that could not be written before any work is done for it.
void require_place(const std::filesystem::path& file, const std::string& option) {
  const std::filesystem::path folder = file.has_parent_path() ? file.parent_path() : ".";
  std::error_code error;
  if (!std::filesystem::is_directory(folder, error)) {
    throw InputError("there is no folder '" + folder.string() + "'", option + " " + file.string(),
                     "a file in a folder that exists");
  }
  if (std::filesystem::is_directory(file, error)) {
    throw InputError("is a folder", option + " " + file.string(), "a file");
  }
}

void require_outputs(const LessonOptions& options) {
  std::set<std::string> seen;
  for (const std::string& out : options.outs) {
    const std::string kind = std::filesystem::path(out).extension().string();
    if (std::find(kSheetKinds.begin(), kSheetKinds.end(), kind) == kSheetKinds.end()) {
      throw InputError("'" + kind + "' is no kind of sheet", "--out " + out,
                       ".html, .md, .csv or .json");
    }
    if (!seen.insert(out).second) throw InputError("a duplicate", "--out " + out, "each file once");
    require_place(out, "--out");
  }
  if (!options.diagram.empty()) require_place(options.diagram, "--diagram");
  const bool any_page = std::any_of(options.outs.begin(), options.outs.end(), [](const auto& out) {
    return std::filesystem::path(out).extension() == ".html";
  });
  if (options.is_quiz && !any_page) {
    throw InputError("there is no page to fold answers in", "--quiz", "--out with an .html file");
  }
}

void write_sheets(const LessonOptions& options, const Lesson& lesson) {
  const SheetOptions sheet{options.is_quiz, options.command, options.version};
  for (const std::string& out : options.outs) {
    const std::string kind = std::filesystem::path(out).extension().string();
    write_file_atomically(out, kind == ".html"  ? lesson_html(lesson, sheet)
                               : kind == ".md"  ? lesson_markdown(lesson, sheet)
                               : kind == ".csv" ? lesson_csv(lesson)
                                                : lesson_json(lesson) + "\n");
    if (!options.rollout.decision.json) print("Written: " + out + "\n");
  }
}

}  // namespace

int run_lesson(const LessonOptions& options) {
  const PositionOptions& common = options.rollout.decision;
  require_outputs(options);
  LessonPlan plan = plan_of(options);
  if (!options.diagram.empty()) {
    const std::optional<Roll> roll =
        plan.rolls.size() == 1 ? std::optional(plan.rolls.front()) : std::nullopt;
    write_file_atomically(options.diagram,
                          board_svg_file({plan.position, roll, plan.cube, std::nullopt}));
  }
  Evaluators evaluators(common);
  set_luck(plan.settings, options.rollout, evaluators);
  ProgressLine progress(common.quiet);
  std::size_t part = 0;
  const std::size_t parts = (plan.rolls.size() + (plan.doubling ? 1 : 0)) * plan.scores.size();
  plan.settings.progress = [&](const RolloutProgress& at) {
    progress.show("part " + std::to_string(part + 1) + " of " + std::to_string(parts) + ": " +
                  std::to_string(100 * at.trials_done / at.trials_planned) + "%");
  };
  Stopwatch watch;
  const Lesson lesson = make_lesson(
      [&](const Decision& decision) -> const Evaluator& { return evaluators.at(decision); },
      evaluators.net_name(), plan, [&](std::size_t started) { part = started; },
      [&] { return watch.lap(); }, evaluators.tables());
  progress.clear();
  if (common.json) {
    print(lesson_json(lesson) + "\n");
  } else {
    print_report(lesson_text(lesson));
  }
  if (!lesson.cells.empty() || !lesson.doubles.empty()) write_sheets(options, lesson);
  return interrupted() ? kInterrupted : kDone;
}

}  // namespace sixfold::tools
