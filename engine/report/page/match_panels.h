/// The panel of a costly decision: the board, what was done and what is best, and why.
#pragma once

#include <string>

#include "report/page/match_parts.h"

namespace sixfold {

/// As HTML. REQUIRES: the decision cost something.
[[nodiscard]] std::string decision_panel(const MatchTold& told, const TurnInGame& place);

}  // namespace sixfold
