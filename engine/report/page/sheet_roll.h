/// The panel of a roll on a lesson's sheet: its plays side by side at all scores.
#pragma once

#include <string>

#include "study/lesson.h"

namespace sixfold {

/// What each play costs at each score, with wins and gammons; the boards after the best ones; and
/// why, in words. REQUIRES: the roll has cells.
[[nodiscard]] std::string side_by_side_panel(const Lesson& lesson, Roll roll);
/// The plays that are not looked at side by side: what they cost. Empty where there are none.
[[nodiscard]] std::string other_plays_table(const Lesson& lesson, Roll roll);

}  // namespace sixfold
