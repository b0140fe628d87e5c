/// How plays are made on a board: checker by checker, one die at a time.
///
/// Pure functions; safe to use from any thread.
#pragma once

#include <vector>

#include "rules/plays.h"

namespace sixfold {

/// One die with one checker, by the mover's numbers.
struct CheckerMove {
  int from = 0;
  int to = 0;
  friend bool operator==(const CheckerMove&, const CheckerMove&) = default;
};

/// Checker moves in an order in which they can be made; empty where nothing can be played.
using PlayWay = std::vector<CheckerMove>;

/// For each of the plays that generate_plays() has, in its order, the ways that lead to it. Ways of
/// the same checker moves in another order are one. REQUIRES: as generate_plays().
[[nodiscard]] std::vector<std::vector<PlayWay>> play_ways(const Position& position, Roll roll);

}  // namespace sixfold
