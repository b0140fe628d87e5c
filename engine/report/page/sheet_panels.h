/// Parts of the sheet of a lesson, as HTML. Used by sheet.cpp.
#pragma once

#include <string>

#include "study/lesson.h"

namespace sixfold {

/// All that is said about one roll: its comparisons and the flip plane.
[[nodiscard]] std::string roll_panels(const Lesson& lesson, Roll roll);
/// Whether to double, at each score.
[[nodiscard]] std::string double_panel(const Lesson& lesson);

}  // namespace sixfold
