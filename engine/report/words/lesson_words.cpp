#include "report/words/lesson_words.h"

#include <cassert>

#include "report/words/notes.h"
#include "report/words/phrases.h"
#include "report/words/plain_words.h"
#include "rules/notation.h"
#include "study/comparisons.h"

namespace sixfold {
std::vector<Roll> rolls_with_results(const Lesson& lesson) {
  std::vector<Roll> rolls;
  for (const Roll roll : lesson.plan.rolls) {
    if (!cells_of(lesson, roll).empty()) rolls.push_back(roll);
  }
  return rolls;
}

std::string question_words(const LessonPlan& plan, const std::vector<Roll>& rolls, bool is_double) {
  assert(is_double || !rolls.empty());
  std::vector<std::string> names;
  for (const Roll roll : rolls) names.push_back(roll_text(roll));
  std::vector<std::string> scores;
  for (const Score& score : plan.scores) scores.push_back(score.name);
  std::string text = is_double ? "Do you double, and does he take" : "";
  if (!rolls.empty()) {
    text += std::string(is_double ? "? How do you play " : "How do you play ") + joined(names);
  }
  return text + " at " + joined(scores) + "?";
}

std::string lesson_cube_words(const LessonPlan& plan) {
  if (plan.cube.is_left_out()) return "left out";
  const std::optional<Cube> cube = cube_of(plan);
  std::vector<std::string> none;
  for (const Score& score : scores_without_cube(plan)) none.push_back(score.name);
  const std::string text = cube ? cube_words(*cube, plan.money) : std::string();
  if (none.empty()) return text;
  return text + (cube ? "; " : "") + "none at " + joined(none) + ", where nobody may double";
}

std::string cube_note(const LessonPlan& plan) {
  return plan.cube.is_left_out() ? "The cube is left out."
                                 : "Cube: " + lesson_cube_words(plan) + ".";
}

std::string best_at(const Lesson& lesson, Roll roll, PlayKey play) {
  std::string names;
  for (const std::size_t c : cells_of(lesson, roll)) {
    const RolledDecision& rolled = lesson.cells[c];
    if (rolled.result.plays.front().play != play) continue;
    names += (names.empty() ? "best at " : ", ") + rolled.decision.score.name;
  }
  return names;
}

std::string verdict_and_reason(const RolledDecision& rolled, std::size_t other) {
  const std::string verdict = verdict_words(rolled, other);
  const std::string reason = rolled.result.plays[other].at_least ? "" : reason_words(rolled, other);
  return reason.empty() ? verdict : verdict + " " + reason;
}

std::string why_words(const Lesson& lesson, std::size_t cell) {
  const RolledDecision& rolled = lesson.cells[cell];
  const std::vector<std::size_t> ranks =
      compared_ranks(rolled, remarks_on(lesson.plan, *rolled.decision.roll));
  return ranks.empty() ? "" : verdict_and_reason(rolled, ranks.front());
}

}  // namespace sixfold
