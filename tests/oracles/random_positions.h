/// Positions to test with: random ones of many shapes, and complete lists of small ones.
#pragma once

#include <random>
#include <vector>

#include "rules/position.h"

namespace sixfold::oracle {

/// A random unfinished position with `checkers` a side. Each side is scattered, at home with some
/// borne off, nearly home, partly on the bar, stacked on few points, or holding a blockade. The
/// same state of the generator gives the same position on every platform.
/// REQUIRES: 1 <= checkers <= 15.
[[nodiscard]] Position random_position(std::mt19937_64& random, int checkers);

/// Every position with `checkers` a side where both sides stand only on points 1 to `highest_point`
/// (from their own viewpoint), on the bar or borne off. Finished games are included, but no
/// position with both sides all off. REQUIRES: 1 <= checkers <= 15, 0 <= highest_point <= 24.
[[nodiscard]] std::vector<Position> all_positions(int checkers, int highest_point);

}  // namespace sixfold::oracle
