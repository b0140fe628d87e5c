/// Luck networks to test with, and what their formula gives in plain double arithmetic.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <random>
#include <vector>

#include "encoding/facts_of_roll.h"
#include "evaluator/luck_network.h"
#include "evaluator/network_fixtures.h"
#include "oracles/features_oracle.h"
#include "rules/outcome_distribution.h"

namespace sixfold {

inline LuckNetwork random_luck_network(int units, int hidden, std::uint32_t seed) {
  std::mt19937 engine(seed);
  LuckNetwork network = zero_luck_network(units, hidden);
  for_each_luck_array(
      network, [&](const char*, std::vector<float>& values, std::size_t, std::size_t) {
        for (float& value : values) {
          value = static_cast<float>(static_cast<std::int32_t>(engine())) * 0x1p-31f;
        }
      });
  return network;
}

/// About the size of weights with which training starts; many units and gates are inside their
/// ranges, and some at either end.
inline LuckNetwork modest_luck_network(int units, int hidden, std::uint32_t seed) {
  LuckNetwork network = random_luck_network(units, hidden, seed);
  const auto shrink = [](std::vector<float>& values, float factor) {
    for (float& value : values) value *= factor;
  };
  shrink(network.first, 0.1f);
  for (float& bias : network.first_bias) bias = 0.3f + 0.2f * bias;
  shrink(network.facts, 0.15f);
  shrink(network.gate_weights, 1.5f / std::sqrt(static_cast<float>(hidden)));
  for (float& bias : network.gate_bias) bias = 0.4f + 0.4f * bias;
  shrink(network.outcomes, 0.05f);
  return network;
}

/// What the formula of a luck network works out for one position. Values by unit.
struct PlainLuck {
  std::vector<double> hidden;
  std::vector<double> gates;
  std::array<std::vector<double>, kRollCount> units;
  std::vector<double> mean;  ///< Of the units over the 36 outcomes of two dice.
  std::array<OutcomeDistribution, kRollCount> luck;
};

using FactsOfRolls = std::array<std::vector<Fact>, kRollCount>;

inline FactsOfRolls facts_of_rolls(const Position& position) {
  const RollFacts facts = roll_facts(position);
  FactsOfRolls lists;
  for (std::size_t r = 0; r < kRollCount; ++r) lists[r] = facts_of_roll(facts, kRolls[r]);
  return lists;
}

/// The formula of evaluator/luck_network.h.
inline PlainLuck plain_luck(const LuckNetwork& network, const std::vector<double>& features,
                            const FactsOfRolls& facts) {
  const auto units = static_cast<std::size_t>(network.units);
  const std::vector<double> sums = dense(features, network.first, network.first_bias);
  PlainLuck plain;
  plain.hidden.assign(sums.begin() + network.units, sums.end());
  for (double& value : plain.hidden) value = std::clamp(value, 0.0, 1.0);
  plain.gates = dense(plain.hidden, network.gate_weights, network.gate_bias);
  for (double& gate : plain.gates) gate = std::max(gate, 0.0);
  plain.mean.assign(units, 0.0);
  for (std::size_t r = 0; r < kRollCount; ++r) {
    std::vector<double>& values = plain.units[r];
    values.assign(sums.begin(), sums.begin() + network.units);
    for (const Fact fact : facts[r]) {
      for (std::size_t u = 0; u < units; ++u) {
        values[u] += static_cast<double>(network.facts[fact * units + u]);
      }
    }
    for (std::size_t u = 0; u < units; ++u) {
      values[u] = std::clamp(values[u], 0.0, 1.0);
      plain.mean[u] += values[u] * kRolls[r].weight() / kDiceOutcomes;
    }
  }
  for (std::size_t r = 0; r < kRollCount; ++r) {
    for (std::size_t u = 0; u < units; ++u) {
      const double deviation = plain.gates[u] * (plain.units[r][u] - plain.mean[u]);
      for (std::size_t o = 0; o < kOutcomeCount; ++o) {
        plain.luck[r][o] +=
            deviation * static_cast<double>(network.outcomes[u * kOutcomeCount + o]);
      }
    }
  }
  return plain;
}

inline PlainLuck plain_luck(const LuckNetwork& network, const Position& position) {
  return plain_luck(network, oracle::features(position), facts_of_rolls(position));
}

}  // namespace sixfold
