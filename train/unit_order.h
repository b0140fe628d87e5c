/// Which hidden units a network has and in what order, as its games ask for.
#pragma once

#include <span>

#include "evaluator/network.h"
#include "rules/position.h"

namespace sixfold {

/// Lays units side by side that are active together, two by two, which changes the network's speed
/// and nothing else: the evaluator's second layer skips pairs of units that are both zero. What is
/// active is looked up in `positions`; with none the order stays.
[[nodiscard]] Network with_units_paired(const Network& network,
                                        std::span<const Position> positions);

/// Leaves out the units that matter least, down to `hidden` of them: those that vary least over
/// `positions`, in what they add to the second layer (variance times the squares of the weights
/// that lead on). Their means stay as part of the second layer's bias.
/// With no positions the first stay. REQUIRES: hidden is a multiple of kHiddenStep and at most the
/// network's.
[[nodiscard]] Network narrowed(const Network& network, int hidden,
                               std::span<const Position> positions);

}  // namespace sixfold
