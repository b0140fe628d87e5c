/// A solved game as a report for a terminal of 80 columns.
#pragma once

#include <string>

#include "report/telling.h"
#include "study/bear_off.h"

namespace sixfold {

[[nodiscard]] std::string solved_text(const SolvedSummary& summary, const SolvedTelling& telling);

}  // namespace sixfold
