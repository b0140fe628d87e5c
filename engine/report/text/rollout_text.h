/// A rolled-out decision as a report for a terminal: tables of at most 80 columns for plays of
/// usual length.
#pragma once

#include <string>

#include "report/telling.h"
#include "report/text/style.h"
#include "study/decision.h"

namespace sixfold {

[[nodiscard]] std::string rollout_text(const RolledDecision& rolled, const Telling& telling,
                                       TextStyle style = {});

}  // namespace sixfold
