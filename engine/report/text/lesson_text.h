/// A lesson as a report for a terminal of 80 columns.
#pragma once

#include <string>

#include "study/lesson.h"

namespace sixfold {

/// The grid: for each roll and score the best play, the runner-up, its cost with interval and
/// verdict, and the wins and gammons of both.
[[nodiscard]] std::string lesson_text(const Lesson& lesson);

}  // namespace sixfold
