#include "study/lesson.h"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>

#include "rules/input_error.h"
#include "rules/notation.h"
#include "study/json_report.h"
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

}  // namespace

int run_lesson(const LessonOptions& options) {
  const PositionOptions& common = options.rollout.decision;
  LessonPlan plan = plan_of(options);
  Evaluators evaluators(common);
  set_luck(plan.settings, options.rollout, evaluators);
  ProgressLine progress(common.quiet);
  std::size_t cell = 0;
  const std::size_t cells = plan.rolls.size() * plan.scores.size();
  plan.settings.progress = [&](const RolloutProgress& at) {
    progress.show("cell " + std::to_string(cell + 1) + " of " + std::to_string(cells) + ": " +
                  std::to_string(100 * at.trials_done / at.trials_planned) + "%");
  };
  Stopwatch watch;
  const Lesson lesson = make_lesson(
      [&](const Decision& decision) -> const Evaluator& { return evaluators.at(decision); },
      evaluators.net_name(), plan, [&](std::size_t started) { cell = started; },
      [&] { return watch.lap(); }, evaluators.tables());
  progress.clear();
  print(common.json ? lesson_json(lesson) + "\n" : lesson_text(lesson));
  return interrupted() ? kInterrupted : kDone;
}

}  // namespace sixfold::tools
