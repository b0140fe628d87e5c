/// What comes of a game between two fixed policies, by value iteration over every position that it
/// can come to.
///
/// A policy takes the position that is worth most to it, by a function of its own. Nobody learns
/// and nobody adapts, so the game is a Markov chain; hits make it run in circles, so its values are
/// iterated until they stand still. For games of very few checkers. Source: Howard R., Dynamic
/// Programming and Markov Processes, MIT Press 1960, chapter 4.
#pragma once

#include <array>
#include <functional>

#include "rules/position.h"
#include "rules/types.h"

namespace sixfold::oracle {

/// What a policy takes a position to be worth to itself, who has just played to it.
using PolicyWorth = std::function<double(const Position& after)>;

struct PolicyGame {
  std::array<double, 6> outcomes{};  ///< For the first, in the order of Outcome.
  /// The most that what comes of a play differs from what comes of another one that its player
  /// takes to be worth the same: at 0 it does not matter which of them is played.
  double between_equals = 0.0;
  int positions = 0;
};

/// From `root` on, with the first or the other on roll. REQUIRES: the game is not over.
[[nodiscard]] PolicyGame between(const Position& root, bool first_rolls, const PolicyWorth& first,
                                 const PolicyWorth& other);

}  // namespace sixfold::oracle
