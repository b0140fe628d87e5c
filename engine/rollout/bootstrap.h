/// How sure it is which of several plays is the best.
#pragma once

#include <cstdint>
#include <vector>

namespace sixfold {

/// How often each play comes out best when the blocks are weighted anew at random. `costs` are each
/// play's, block by block, against one and the same play; a play may have fewer blocks than others.
/// A pure function of both arguments. Source: Rubin D., The Bayesian bootstrap, Annals of
/// Statistics 9(1), 1981. REQUIRES: a block of every play.
[[nodiscard]] std::vector<double> best_probabilities(const std::vector<std::vector<double>>& costs,
                                                     std::uint64_t seed);

}  // namespace sixfold
