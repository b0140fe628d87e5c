/// A solved game as a report for a terminal of 80 columns.
#pragma once

#include <string>

#include "study/bear_off.h"

namespace sixfold {

[[nodiscard]] std::string solved_text(const SolvedSummary& summary);

}  // namespace sixfold
