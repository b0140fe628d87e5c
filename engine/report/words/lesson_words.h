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
/// How the cube is, or that it is left out: a sentence.
[[nodiscard]] std::string cube_note(const LessonPlan& plan);
/// Where a play is best: "best at money, dmp"; empty where it is nowhere.
[[nodiscard]] std::string best_at(const Lesson& lesson, Roll roll, PlayKey play);
/// Why the best play of a cell is better than the nearest of those that it is compared with, or
/// that this is open; empty where there is no other.
[[nodiscard]] std::string why_words(const Lesson& lesson, std::size_t cell);

}  // namespace sixfold
