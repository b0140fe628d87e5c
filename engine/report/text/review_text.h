/// A reviewed match as text: games, players, where the result came from, the dearest decisions.
///
/// Pure function.
#pragma once

#include <string>

#include "base/provenance.h"
#include "study/review.h"

namespace sixfold {

[[nodiscard]] std::string review_text(const MatchReview& review, const Provenance& made_by);

}  // namespace sixfold
