/// A lesson as Markdown. Pure functions.
#pragma once

#include <string>

#include "report/telling.h"
#include "study/lesson.h"

namespace sixfold {

/// The grid, the ledgers and the words as Markdown. `command` makes the same again.
[[nodiscard]] std::string lesson_markdown(const Lesson& lesson, const LessonTelling& telling,
                                          const std::string& command);

}  // namespace sixfold
