/// Which rolls decide, for the terminal: a sentence and a short table.
#pragma once

#include <cstddef>
#include <string>

#include "study/cube_study.h"
#include "study/decision.h"

namespace sixfold {

/// Of the best play against another, by its number in the list. Empty where its cost is told as a
/// bound, and where the two are equal. REQUIRES: 0 < other < plays.
[[nodiscard]] std::string rolls_text(const RolledDecision& rolled, std::size_t other);
/// Of doubling against waiting. Empty where the roller may not double. REQUIRES: the study has been
/// rolled out.
[[nodiscard]] std::string rolls_text(const CubeStudy& study);

}  // namespace sixfold
