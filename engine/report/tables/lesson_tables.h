/// A lesson as tables for other programs: Markdown and comma-separated values. Pure functions.
#pragma once

#include <string>

#include "report/sheet_options.h"
#include "study/lesson.h"

namespace sixfold {

/// The grid, the ledgers and the words as Markdown.
[[nodiscard]] std::string lesson_markdown(const Lesson& lesson, const SheetOptions& options);
/// A line for each play of each roll at each score, comma separated, with a heading; RFC 4180.
[[nodiscard]] std::string lesson_csv(const Lesson& lesson);

}  // namespace sixfold
