/// Static values as a report for a terminal: tables of at most 80 columns for plays of usual
/// length.
#pragma once

#include <string>

#include "study/decision.h"

namespace sixfold {

[[nodiscard]] std::string evaluation_text(const Evaluation& evaluation);

}  // namespace sixfold
