/// A reviewed match as Markdown: who played, the balance, the dearest decisions, and the course of
/// each game. Pure function.
#pragma once

#include <string>

#include "base/provenance.h"
#include "study/review.h"

namespace sixfold {

/// `command` makes the same text again.
[[nodiscard]] std::string review_markdown(const MatchReview& review, const Provenance& made_by,
                                          const std::string& command);

}  // namespace sixfold
