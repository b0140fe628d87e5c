/// Reports for people: tables of at most 80 columns for plays of usual length.
#pragma once

#include <string>

#include "study/decision.h"
#include "study/lesson.h"

namespace sixfold {

[[nodiscard]] std::string evaluation_text(const Evaluation& evaluation);
[[nodiscard]] std::string rollout_text(const RolledDecision& rolled);
/// The grid: for each roll and score the best play, the runner-up, its cost with interval and
/// verdict, and the wins and gammons of both.
[[nodiscard]] std::string solved_text(const SolvedSummary& summary);
[[nodiscard]] std::string lesson_text(const Lesson& lesson);

}  // namespace sixfold
