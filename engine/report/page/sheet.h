/// The sheet of a lesson: what the teacher publishes and a reader can check.
///
/// One HTML page without scripts and without anything from elsewhere: the position, the grid of
/// verdicts, a panel for each pair of plays that is compared, where the verdict flips, and how all
/// of it was computed. Numbers are <data> elements: `value` has all digits, `data-json` says where
/// the number stands in lesson_json() (a JSON pointer, RFC 6901), `data-scale` by what it is
/// multiplied on the page. Pure functions.
#pragma once

#include <string>

#include "report/sheet_options.h"
#include "study/lesson.h"

namespace sixfold {

/// REQUIRES: the lesson has a cell or a double.
[[nodiscard]] std::string lesson_html(const Lesson& lesson, const SheetOptions& options);

}  // namespace sixfold
