/// A lesson as tables for other programs: Markdown and comma-separated values. Pure functions.
#pragma once

#include <string>

#include "report/telling.h"
#include "study/lesson.h"

namespace sixfold {

/// The grid, the ledgers and the words as Markdown. `command` makes the same again.
[[nodiscard]] std::string lesson_markdown(const Lesson& lesson, const LessonTelling& telling,
                                          const std::string& command);
/// A line for each play of each roll at each score, comma separated, with a heading; RFC 4180.
[[nodiscard]] std::string lesson_csv(const Lesson& lesson);

}  // namespace sixfold
