/// Parts of the sheet of a lesson, as HTML. Used by sheet.cpp.
#pragma once

#include <string>

#include "study/lesson.h"

namespace sixfold {

/// A number that a reader can check: `pointer` says where it stands in lesson_json(); `pattern` is
/// printf's, for the value times `scale`.
[[nodiscard]] std::string datum(double value, const std::string& pointer, const char* pattern,
                                double scale = 1.0);
/// "mean ± half-width" of an estimate at `pointer`.
[[nodiscard]] std::string interval_data(const Estimate& estimate, const std::string& pointer,
                                        bool has_sign, double scale = 1.0);
/// Paragraphs of a class, escaped; empty for an empty text. Line breaks part paragraphs.
[[nodiscard]] std::string paragraphs(const char* kind, const std::string& text);

/// All that is said about one roll: its comparisons and the flip plane.
[[nodiscard]] std::string roll_panels(const Lesson& lesson, Roll roll);
/// Whether to double, at each score.
[[nodiscard]] std::string double_panel(const Lesson& lesson);

}  // namespace sixfold
