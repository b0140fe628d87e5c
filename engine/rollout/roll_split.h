/// Which first rolls a difference comes from.
///
/// A trial's value has the luck of its first roll taken out: what that roll was taken to be worth.
/// Put back, it is known without any noise, and the trials that begin with the roll tell the rest:
/// the part of roll r is P(r) (before + luck of r) plus the sum over those trials of what they come
/// to beyond `before`, divided by the number of all trials. It is unbiased for P(r) times the
/// difference after r, and the 21 parts add up to the difference. `before` is any constant: close
/// to the mean it spares the parts the noise of how often each roll came.
#pragma once

#include <array>

#include "rollout/estimates.h"
#include "rollout/rolled.h"

namespace sixfold {

/// The parts of what `other` costs against `best`, in the order of kRolls, over the blocks that
/// both have. What `cost` has been moved by is spread over the rolls as likely as they are, so that
/// the sum is the cost. Rolls of which few trials are to be expected, or of whose trials few differ
/// between the plays, get at least the error that trials have on average, and Student's t for so
/// few: their spread says little. All half-widths grow with the skewness of the trials. Source:
/// Johnson N., Modified t tests and confidence intervals for asymmetrical populations, JASA 73(363),
/// 1978.
[[nodiscard]] std::array<Estimate, kRollCount> split_by_roll(const PlayBlocks& other,
                                                             const PlayBlocks& best,
                                                             const Estimate& cost,
                                                             const EstimateRules& rules);

}  // namespace sixfold
