/// Counts of the tree of plays, for checking a generator against published numbers.
#pragma once

#include <cstdint>

#include "rules/position.h"

namespace sixfold {

struct TreeCount {
  std::uint64_t plays = 0;     ///< Plays over all 21 rolls, at the last depth.
  std::uint64_t weighted = 0;  ///< The same, each counted by the product of its rolls' weights.
  friend constexpr bool operator==(const TreeCount&, const TreeCount&) = default;
};

/// Plays at depth `depth` (1: those of the 21 rolls from `position`), without merging positions.
/// REQUIRES: depth >= 1, and no game ends before the last depth.
[[nodiscard]] TreeCount count_plays(const Position& position, int depth);

}  // namespace sixfold
