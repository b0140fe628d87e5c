/// What the panels of a sheet are made of, as HTML.
#pragma once

#include <string>
#include <vector>

#include "base/format.h"
#include "report/json/json_path.h"
#include "rollout/rolled.h"
#include "rules/position.h"

namespace sixfold {

/// A number that a reader can check: `at` says where it stands in lesson_json(); `pattern` is
/// for the value times `scale`.
[[nodiscard]] std::string datum(double value, const JsonPath& at, FormatPattern<double> pattern,
                                double scale = 1.0);
/// A sum of two numbers of the JSON, or, with `sign` -1, the first less the second.
[[nodiscard]] std::string sum_datum(double value, const JsonPath& first, int sign,
                                    const JsonPath& second, FormatPattern<double> pattern,
                                    double scale = 1.0);
/// A bound that the true value exceeds, rounded so that it still does.
[[nodiscard]] std::string bound_datum(double bound, const JsonPath& at, int decimals);
/// "mean ± half-width" of the estimate at a place.
[[nodiscard]] std::string interval_data(const Estimate& estimate, const JsonPath& at, bool has_sign,
                                        double scale = 1.0);
/// A number and its half-width, both markup: the second stays in one piece, on a line of its own
/// where there is no room.
[[nodiscard]] std::string with_half_width(const std::string& mean, const std::string& half_width);
/// A chance, the same in per cent.
[[nodiscard]] std::string chance_data(const Estimate& estimate, const JsonPath& at);
/// A share of all games in per cent: with its interval, or where that reaches zero, below what it
/// is.
[[nodiscard]] std::string share_data(const Estimate& estimate, const JsonPath& at);
/// A share of all games after a play, in per cent; `at` is the play's place.
[[nodiscard]] std::string share_of_data(const RolledPlay& play, ShareOf share, const JsonPath& at);
/// What a play costs against the best, with its interval or as a bound; `at` is the play's place.
[[nodiscard]] std::string cost_data(const RolledPlay& play, const JsonPath& at);

/// Text, escaped, whose lines end neither within a play nor between a number and its error.
[[nodiscard]] std::string prose(const std::string& text);
/// Paragraphs of a class, as prose; empty for an empty text. Line breaks part paragraphs.
[[nodiscard]] std::string paragraphs(const char* kind, const std::string& text);
/// What is shown when its summary is opened; `summary` is text.
[[nodiscard]] std::string folded(const char* kind, const std::string& summary,
                                 const std::string& content);
/// "● settled" or "○ open", in colours of their own.
[[nodiscard]] std::string sureness(bool is_settled);

/// A name that may be broken at its blanks alone, not at a hyphen.
[[nodiscard]] std::string unbroken_words(const std::string& text);

/// A position as text, which breaks between its sides first.
[[nodiscard]] std::string position_markup(const Position& position);
/// The box at the foot that has folds printed too; `words` say so. Without a script: the style
/// sheet asks whether it is ticked.
[[nodiscard]] std::string print_choice(const std::string& words);
/// How a page came about, which may be empty, and by which command; all of it text.
[[nodiscard]] std::string page_foot(const std::string& computed, const std::string& again,
                                    const std::string& command);
/// A whole page with its style sheets; `title` is text, `body` markup.
[[nodiscard]] std::string page_html(const std::string& title, const std::string& body);
inline constexpr const char* kEstimatesNote =
    "Results are estimates by imperfect players, not proofs.";

using TableCells = std::vector<std::string>;

/// A row of a table; `name` and cells are markup.
[[nodiscard]] std::string table_row(const std::string& name, const TableCells& cells);
/// A table of rows; caption and heads are text.
[[nodiscard]] std::string table_of(const char* kind, const std::string& caption,
                                   const TableCells& heads, const std::string& rows);
/// The same for tables that narrow pages show as lists: their parts keep their roles. `label` is
/// what a cell is called in a list.
[[nodiscard]] std::string list_cell(const std::string& kind, const std::string& label,
                                    const std::string& content);
[[nodiscard]] std::string list_row(const std::string& name, const std::string& cells);
[[nodiscard]] std::string list_table(const char* kind, const std::string& caption,
                                     const TableCells& heads, const std::string& rows);

}  // namespace sixfold
