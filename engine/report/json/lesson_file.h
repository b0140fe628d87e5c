/// Lessons as files: JSON that an author writes.
#pragma once

#include <string>
#include <string_view>

#include "equity/match_equity.h"
#include "study/lesson.h"

namespace sixfold {

/// Reads the JSON form of a lesson over `defaults`; tools/schema/lesson_file.json describes its
/// fields. Throws InputError with the path inside the text ("rolls[1].plays[0]") for unknown or
/// malformed fields, illegal plays, duplicates, and for a lesson without a question. `where` names
/// the text in messages; `table` says what its scores are worth.
[[nodiscard]] LessonPlan parse_lesson(std::string_view json, const std::string& where,
                                      const LessonPlan& defaults, const MatchEquityTable& table);

}  // namespace sixfold
