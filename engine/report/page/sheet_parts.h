/// What the panels of a sheet are made of, as HTML.
#pragma once

#include <string>
#include <vector>

#include "rollout/statistics.h"

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

using TableCells = std::vector<std::string>;

/// A row of a table; `name` and cells are markup.
[[nodiscard]] std::string table_row(const std::string& name, const TableCells& cells);
/// A table of rows; caption and heads are text.
[[nodiscard]] std::string table_of(const char* kind, const std::string& caption,
                                   const TableCells& heads, const std::string& rows);

}  // namespace sixfold
