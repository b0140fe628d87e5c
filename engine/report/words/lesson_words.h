/// What a lesson asks and what it is about, in words that page and Markdown share.
///
/// Pure functions; safe to use from any thread.
#pragma once

#include <string>
#include <vector>

#include "study/lesson.h"

namespace sixfold {

/// Rolls of the lesson that have results, in its order.
[[nodiscard]] std::vector<Roll> rolls_with_results(const Lesson& lesson);
/// "How do you play 66 and 22 at money and dmp?", or whether to double and take. REQUIRES: there
/// are rolls or it is about doubling.
[[nodiscard]] std::string question_words(const LessonPlan& plan, const std::vector<Roll>& rolls,
                                         bool is_double);
/// How the cube is and at which scores there is none, or that it is left out.
[[nodiscard]] std::string lesson_cube_words(const LessonPlan& plan);
/// The same as a sentence.
[[nodiscard]] std::string cube_note(const LessonPlan& plan);
/// Where a play is best: "best at money, dmp"; empty where it is nowhere.
[[nodiscard]] std::string best_at(const Lesson& lesson, Roll roll, PlayKey play);
/// The verdict on a play and, where it is told in full, what speaks for the best one. REQUIRES:
/// 0 < other < plays.
[[nodiscard]] std::string verdict_and_reason(const RolledDecision& rolled, std::size_t other);
/// The same of the nearest play of a cell that is compared with the best; empty where there is
/// none.
[[nodiscard]] std::string why_words(const Lesson& lesson, std::size_t cell);

}  // namespace sixfold
