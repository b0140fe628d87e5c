/// Sheets of a lesson in every form that can be taken away.
#pragma once

#include <array>
#include <string>

#include "report/page/sheet.h"
#include "report/telling.h"
#include "study/lesson.h"

namespace sixfold::tools {

inline constexpr std::array<const char*, 4> kSheetKinds{".html", ".md", ".csv", ".json"};

/// REQUIRES: `kind` is one of kSheetKinds; the lesson has a cell or a double.
[[nodiscard]] std::string sheet_of(const Lesson& lesson, const LessonTelling& telling,
                                   const std::string& kind, const SheetOptions& options);

}  // namespace sixfold::tools
