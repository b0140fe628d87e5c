/// Sampled positions as a file of NumPy, which `numpy.load` reads as an array of records:
/// `position`, `outcomes`, `standard_errors` where they were rolled out, and `end`.
///
/// `position` holds checkers by side (the roller's first) and location as each side numbers it: 0
/// borne off, 1 to 24 the points, 25 the bar. Outcomes are in the order of Outcome, from lost to
/// won backgammons; `end` is one of them, 0 to 5. Pure function.
/// Source: the documentation of numpy.lib.format, version 1.0 of the format.
#pragma once

#include <span>
#include <string>

#include "rollout/sampled_position.h"

namespace sixfold {

/// REQUIRES: all have standard errors or none has.
[[nodiscard]] std::string sample_npy(std::span<const SampledPosition> positions);

}  // namespace sixfold
