/// A luck network in integers: int16 rows and facts, int8 gates, floats only after them.
#pragma once

#include <array>
#include <span>

#include "evaluator/kernels.h"
#include "evaluator/luck_network.h"
#include "evaluator/quantised_rows.h"
#include "rules/outcome_distribution.h"

namespace sixfold {

/// Immutable after construction; safe to use from any thread.
class QuantisedLuck {
 public:
  /// Throws InputError for weights that are not finite or don't fit into integers. `name` is for
  /// that message. REQUIRES: is_available(level).
  QuantisedLuck(const LuckNetwork& network, const char* name, InstructionSet level);

  /// What a roll adds to the chance of each outcome, for the side on roll. Over the 36 outcomes of
  /// two dice, and for each roll over the six outcomes, it sums to zero but for the rounding of
  /// floats. REQUIRES: the game is not over.
  [[nodiscard]] OutcomeDistribution luck(const Position& position, Roll roll) const noexcept;
  /// The same of all rolls, in the order of kRolls.
  [[nodiscard]] std::array<OutcomeDistribution, kRollCount> luck_of_rolls(
      const Position& position) const noexcept;

 private:
  void fill(const Position& position, unsigned chosen,
            std::span<OutcomeDistribution> luck) const noexcept;

  const Kernels& kernels_;
  QuantisedRows rows_;
  Accumulator empty_;  ///< The rows' bias, and half of what the shift drops.
  QuantisedDense gates_;
  std::vector<float> gate_bias_;
  AlignedArray<std::int16_t> facts_;
  AlignedArray<float> outcomes_;
  LuckWeights weights_;
};

}  // namespace sixfold
