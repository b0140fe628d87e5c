/// The sheet of a lesson: what the teacher publishes and a reader can check.
///
/// One HTML page without scripts and without anything from elsewhere: what is asked, the position
/// and the answer at each score; a panel for each roll that sets its plays side by side; folded,
/// all numbers behind it, where the verdict flips, the terms; and how all of it was computed. On
/// paper go the folds that are open, or all of them where the box at the foot is ticked.
///
/// Numbers are <data> elements: `value` has all digits, `data-json` says where the number stands in
/// lesson_json() (a JSON pointer, RFC 6901; several, parted by blanks, where it is a sum of
/// theirs, "-" in front of those that are taken away), `data-scale` by what it is multiplied on the
/// page, `data-rounded` that it is rounded down. Pure functions.
#pragma once

#include <string>

#include "report/telling.h"
#include "study/lesson.h"

namespace sixfold {

struct SheetOptions {
  bool is_quiz = false;  ///< Questions first, answers folded.
  std::string command;   ///< That makes the same sheet again.
  std::string home{};    ///< The page that links to the sheet, beside it; empty: none.
};

/// REQUIRES: the lesson has a cell or a double.
[[nodiscard]] std::string lesson_html(const Lesson& lesson, const LessonTelling& telling,
                                      const SheetOptions& options);

}  // namespace sixfold
