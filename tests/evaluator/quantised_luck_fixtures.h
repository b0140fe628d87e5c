/// What the tests of quantised luck share: luck of all rolls, and what its integers may stand for.
#pragma once

#include <algorithm>
#include <array>
#include <catch2/catch.hpp>
#include <cstddef>
#include <cstdlib>
#include <optional>
#include <vector>

#include "encoding/roll_facts.h"
#include "evaluator/luck_network.h"
#include "evaluator/quantised_luck.h"
#include "evaluator/quantised_rows.h"
#include "rules/outcome_distribution.h"
#include "rules/position.h"
#include "rules/types.h"

namespace sixfold {

using OutcomesOfRolls = std::array<OutcomeDistribution, kRollCount>;

inline OutcomesOfRolls luck_of_rolls(const QuantisedLuck& network, const Position& position) {
  OutcomesOfRolls luck;
  for (std::size_t r = 0; r < kRollCount; ++r) luck[r] = network.luck(position, kRolls[r]);
  return luck;
}

/// The outcome weights less their mean over each unit's outcomes.
inline LuckNetwork balanced(LuckNetwork network) {
  for (std::size_t u = 0; u < static_cast<std::size_t>(network.units); ++u) {
    float* const row = network.outcomes.data() + u * kOutcomeCount;
    float mean = 0.0f;
    for (std::size_t o = 0; o < kOutcomeCount; ++o) mean += row[o] / kOutcomeCount;
    for (std::size_t o = 0; o < kOutcomeCount; ++o) row[o] -= mean;
  }
  return network;
}

/// Luck in outcomes that are excluded goes to the nearest win or loss that is not.
inline OutcomeDistribution folded(const OutcomeDistribution& luck, unsigned possible) {
  OutcomeDistribution result;
  for (int o = 0; o < kOutcomeCount; ++o) {
    const bool is_win = o >= kOutcomeCount / 2;
    std::optional<int> nearest;
    for (int other = is_win ? 3 : 0; other < (is_win ? 6 : 3); ++other) {
      if ((possible >> other & 1u) == 0) continue;
      if (!nearest || std::abs(other - o) < std::abs(*nearest - o)) nearest = other;
    }
    REQUIRE(nearest);
    result[static_cast<std::size_t>(*nearest)] += luck[static_cast<std::size_t>(o)];
  }
  return result;
}

/// The largest magnitude that a roll's facts can add to each unit, slot by slot, and the most facts
/// that a roll can have: what a quantised luck network reckons with.
inline FurtherTerms further_terms(const LuckNetwork& network) {
  const auto units = static_cast<std::size_t>(network.units);
  FurtherTerms further{std::vector<float>(network.width(), 0.0f), 0};
  for (const Roll roll : kRolls) {
    int count = 0;
    for (const FactSlots& slots : slots_of_roll(roll)) count += slots.count;
    further.most = std::max(further.most, count);
    for (std::size_t u = 0; u < units; ++u) {
      for (const double sign : {1.0, -1.0}) {
        double reach = 0.0;
        for (const FactSlots& slots : slots_of_roll(roll)) {
          for (int slot = 0; slot < slots.count; ++slot) {
            double most = 0.0;
            for (int i = 0; i < slots.size; ++i) {
              const int fact = slots.first + slot * slots.size + i;
              most = std::max(
                  most, sign * static_cast<double>(
                                   network.facts[static_cast<std::size_t>(fact) * units + u]));
            }
            reach += most;
          }
        }
        further.reach[u] = std::max(further.reach[u], static_cast<float>(reach));
      }
    }
  }
  return further;
}

inline QuantisedRows rows_of(const LuckNetwork& network) {
  return QuantisedRows(network.first, network.first_bias, "test", further_terms(network));
}

}  // namespace sixfold
