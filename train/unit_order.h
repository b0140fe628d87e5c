/// The order of a network's hidden units, which changes its speed and nothing else.
#pragma once

#include <span>

#include "evaluator/network.h"
#include "rules/position.h"

namespace sixfold {

/// Lays units side by side that are active together, two by two: the evaluator's second layer skips
/// pairs of units that are both zero. What is active is looked up in `positions`; with none the
/// order stays.
[[nodiscard]] Network with_units_paired(const Network& network,
                                        std::span<const Position> positions);

}  // namespace sixfold
