/// The answers of a lesson's sheet: what is right at each score, and how sure that is.
#pragma once

#include <string>

#include "study/lesson.h"

namespace sixfold {

/// A line for each roll at each score, and for each double. REQUIRES: the lesson has one of them.
[[nodiscard]] std::string answers_panel(const Lesson& lesson);

}  // namespace sixfold
