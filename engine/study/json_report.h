/// Reports as JSON, one object a line, in the forms that other programs rely on
/// (sixfold.evaluation/1, sixfold.cube/1, sixfold.rollout/1, sixfold.lesson/1).
#pragma once

#include <string>
#include <string_view>

#include "study/cube_study.h"
#include "study/decision.h"
#include "study/lesson.h"

namespace sixfold {

[[nodiscard]] std::string evaluation_json(const Evaluation& evaluation);
[[nodiscard]] std::string cube_json(const CubeStudy& study);
[[nodiscard]] std::string rollout_json(const RolledDecision& rolled);
/// The plan, and every cell of the grid as its rollout_json.
[[nodiscard]] std::string lesson_json(const Lesson& lesson);
/// The answer to a request that could not be read. `id` is JSON.
[[nodiscard]] std::string solved_json(const SolvedSummary& summary);
[[nodiscard]] std::string error_json(std::string_view id, std::string_view message);

}  // namespace sixfold
