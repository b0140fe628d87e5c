/// What trials come to, and blocks of them on average.
#pragma once

#include <cassert>
#include <cstdint>
#include <span>

#include "equity/cube_results.h"
#include "rules/outcome_distribution.h"

namespace sixfold {

/// Trials come in blocks of six. Within a block each of the four dice of the first two rolls shows
/// every number once (a Latin hypercube); from the third roll on, and in everything else, trials
/// are independent. Blocks are independent of one another, so that their spread gives honest
/// errors; a larger block would stratify more finely, but leave few blocks to measure the
/// spread by.
inline constexpr std::uint64_t kBlockTrials = 6;

/// From the viewpoint of the player whose play is rolled out.
template <typename Distribution>
struct MeansOf {
  Distribution outcomes;  ///< Adjusted for luck.
  Distribution luck;      ///< What was taken out; sums to 0.

  MeansOf& operator+=(const MeansOf& other) noexcept {
    outcomes += other.outcomes;
    luck += other.luck;
    return *this;
  }
  MeansOf& operator*=(double factor) noexcept {
    outcomes *= factor;
    luck *= factor;
    return *this;
  }
};
using BlockMeans = MeansOf<OutcomeDistribution>;
using CubeMeans = MeansOf<CubeResults>;

/// The mean of a block's trials. REQUIRES: there are kBlockTrials of them.
template <typename Distribution>
[[nodiscard]] MeansOf<Distribution> block_mean(
    std::span<const MeansOf<Distribution>> trials) noexcept {
  assert(trials.size() == kBlockTrials);
  MeansOf<Distribution> mean;
  for (const MeansOf<Distribution>& one : trials) mean += one;
  mean *= 1.0 / static_cast<double>(kBlockTrials);
  return mean;
}

}  // namespace sixfold
