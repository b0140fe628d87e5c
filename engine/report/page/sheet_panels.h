/// The folded parts of a lesson's sheet, as HTML. Used by sheet.cpp.
#pragma once

#include <string>

#include "report/telling.h"
#include "study/lesson.h"

namespace sixfold {

/// What is behind the panel of a roll: at each score all outcomes, costs and ledgers; facts; other
/// plays; the flip plane. REQUIRES: the roll has cells.
[[nodiscard]] std::string folded_parts(const Lesson& lesson, const LessonTelling& telling,
                                       Roll roll);
/// Whether to double, at each score.
[[nodiscard]] std::string double_panel(const Lesson& lesson);

}  // namespace sixfold
