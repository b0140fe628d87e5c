/// The parts of a lesson's sheet behind its answers, as HTML; a reviewed match has them too.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "report/json/json_path.h"
#include "report/telling.h"
#include "study/lesson.h"

namespace sixfold {

/// What is behind the panel of a roll: at each score all outcomes, costs and ledgers; facts; other
/// plays; the flip plane. REQUIRES: the roll has cells.
[[nodiscard]] std::string folded_parts(const Lesson& lesson, const LessonTelling& telling,
                                       Roll roll);
/// Outcomes, equity and cost of the best play and of others, by their numbers in the list; `plays`
/// is the place of that list.
[[nodiscard]] std::string rolled_outcomes(const RolledDecision& rolled, const JsonPath& plays,
                                          const std::vector<std::size_t>& others);
/// All numbers of a roll at one score: pictures, outcomes and ledgers of the same plays.
[[nodiscard]] std::string rolled_numbers(const RolledDecision& rolled, const JsonPath& plays,
                                         const std::vector<std::size_t>& others);

/// What is right about a double in words, and what each action gives; `at` is the study's place.
[[nodiscard]] std::string double_answer_panel(const CubeStudy& study, const JsonPath& at);
/// All numbers behind that.
[[nodiscard]] std::string double_numbers(const CubeStudy& study, const JsonPath& at);
/// Whether to double, at each score.
[[nodiscard]] std::string double_panel(const Lesson& lesson);

}  // namespace sixfold
