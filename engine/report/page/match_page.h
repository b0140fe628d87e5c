/// A reviewed match as one HTML page, without scripts and without anything from elsewhere.
///
/// Who played and how it ended; the course of the match as a line; the balance of luck and costs;
/// the dearest decisions, each with a panel of its own; and every game with all its turns, folded.
/// Numbers are <data> elements as those of a sheet (page/sheet.h), their places those in
/// review_json(). Pure functions.
#pragma once

#include <cstddef>
#include <string>

#include "base/provenance.h"
#include "study/review.h"

namespace sixfold {

/// So many decisions have panels: more than a lesson talks about, few enough to print.
inline constexpr std::size_t kPanels = 20;

/// `command` makes the same page again.
[[nodiscard]] std::string review_html(const MatchReview& review, const Provenance& made_by,
                                      const std::string& command);

}  // namespace sixfold
