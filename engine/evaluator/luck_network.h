/// The float weights of a luck network, as trained and as stored: what each roll adds to the chance
/// of each outcome, read off the position before the roll.
///
/// Shapes: F features (kFeatureCount), K facts (kFactCount), U roll units, H hidden units,
/// O outcomes (6). All matrices are row-major, input by output.
///
///   [context, hidden] = first_bias + sum over features of value * first[feature]     (U, then H)
///   gates    = max(gate_bias + clamp(hidden, 0, 1) * gate_weights, 0)
///   units[r] = clamp(context + sum of facts over the facts of roll r, 0, 1)
///   luck[r]  = (gates * (units[r] - mean of units over the 36 outcomes of two dice)) * outcomes
///
/// In use, each unit's outcomes are taken less their mean, so that luck sums to zero over the
/// outcomes too, and luck in outcomes that the rules exclude goes to others of the same sign.
///
/// Whatever the weights, luck has mean zero over the dice. The gates let the position say what a
/// fact is worth: they raised the share of luck's variance that is explained from .87 to .90 at two
/// million positions, where twice the units gave .013.
#pragma once

#include <vector>

#include "encoding/features.h"
#include "encoding/roll_facts.h"
#include "evaluator/network.h"

namespace sixfold {

struct LuckNetwork {
  int units = 0;                    ///< U
  int hidden = 0;                   ///< H
  std::vector<float> first;         ///< F x (U + H)
  std::vector<float> first_bias;    ///< U + H
  std::vector<float> facts;         ///< K x U
  std::vector<float> gate_weights;  ///< H x U
  std::vector<float> gate_bias;     ///< U
  std::vector<float> outcomes;      ///< U x O
  friend bool operator==(const LuckNetwork&, const LuckNetwork&) = default;

  /// U + H, the width of the first layer.
  [[nodiscard]] std::size_t width() const noexcept {
    return static_cast<std::size_t>(units) + static_cast<std::size_t>(hidden);
  }
};

/// All weights zero. REQUIRES: units and hidden are multiples of kHiddenStep, at most kMaxHidden
/// together.
[[nodiscard]] LuckNetwork zero_luck_network(int units, int hidden);

/// Calls visit(name, values, rows, columns) for each array; vectors have one row.
template <typename AnyLuckNetwork, typename Visit>
void for_each_luck_array(AnyLuckNetwork& network, Visit visit) {
  const auto units = static_cast<std::size_t>(network.units);
  const auto hidden = static_cast<std::size_t>(network.hidden);
  visit("first", network.first, std::size_t{kFeatureCount}, units + hidden);
  visit("first_bias", network.first_bias, std::size_t{1}, units + hidden);
  visit("facts", network.facts, std::size_t{kFactCount}, units);
  visit("gate_weights", network.gate_weights, hidden, units);
  visit("gate_bias", network.gate_bias, std::size_t{1}, units);
  visit("outcomes", network.outcomes, units, std::size_t{kOutcomeCount});
}

/// One while the sides are in contact, one for races, like the evaluator's.
struct LuckPair {
  LuckNetwork contact;
  LuckNetwork race;
  friend bool operator==(const LuckPair&, const LuckPair&) = default;
};

}  // namespace sixfold
