/// Networks to test with, and what a network's formula gives in plain double arithmetic.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <random>
#include <vector>

#include "evaluator/kernels.h"
#include "evaluator/network.h"
#include "oracles/features_oracle.h"
#include "rules/game_result.h"
#include "rules/outcome_distribution.h"

namespace sixfold {

inline Network random_network(int hidden, std::uint32_t seed) {
  std::mt19937 engine(seed);
  Network network = zero_network(hidden);
  for_each_array(network, [&](const char*, std::vector<float>& values, std::size_t, std::size_t) {
    for (float& value : values) {
      value = static_cast<float>(static_cast<std::int32_t>(engine())) * 0x1p-31f;
    }
  });
  return network;
}

/// About the size of weights with which training starts; the first layer's times `scale`.
inline Network modest_network(int hidden, std::uint32_t seed, float scale = 1.0f) {
  Network network = random_network(hidden, seed);
  const auto shrink = [](std::vector<float>& values, float factor) {
    for (float& value : values) value *= factor;
  };
  shrink(network.first, 0.1f * scale);
  for (float& bias : network.first_bias) bias = 0.3f + 0.2f * scale * bias;
  shrink(network.second_weights, 2.0f / std::sqrt(static_cast<float>(hidden)));
  shrink(network.second_bias, 0.2f);
  shrink(network.head_weights, 0.5f);
  shrink(network.head_bias, 0.5f);
  return network;
}

inline std::vector<InstructionSet> available_levels() {
  std::vector<InstructionSet> levels;
  for (std::size_t i = 0; i < kInstructionSetNames.size(); ++i) {
    const auto level = static_cast<InstructionSet>(i);
    if (is_available(level)) levels.push_back(level);
  }
  return levels;
}

/// bias + inputs * weights. `weights` has a row for each input.
inline std::vector<double> dense(const std::vector<double>& inputs,
                                 const std::vector<float>& weights,
                                 const std::vector<float>& bias) {
  std::vector<double> outputs(bias.begin(), bias.end());
  for (std::size_t i = 0; i < inputs.size(); ++i) {
    if (inputs[i] == 0.0) continue;
    for (std::size_t o = 0; o < outputs.size(); ++o) {
      outputs[o] += inputs[i] * static_cast<double>(weights[i * outputs.size() + o]);
    }
  }
  return outputs;
}

/// The formula of evaluator/network.h. Bit i of `possible`: outcome i is not excluded.
inline OutcomeDistribution plain_forward(const Network& network,
                                         const std::vector<double>& features, unsigned possible) {
  std::vector<double> hidden = dense(features, network.first, network.first_bias);
  for (double& value : hidden) {
    value = std::clamp(value, 0.0, 1.0);
    value *= value;
  }
  std::vector<double> second = dense(hidden, network.second_weights, network.second_bias);
  for (double& value : second) value = std::max(value, 0.3 * value);
  const std::vector<double> logits = dense(second, network.head_weights, network.head_bias);
  OutcomeDistribution outcomes;
  double sum = 0.0;
  for (std::size_t o = 0; o < kOutcomeCount; ++o) {
    if ((possible >> o & 1u) != 0) outcomes[o] = std::exp(logits[o]);
    sum += outcomes[o];
  }
  return outcomes *= 1.0 / sum;
}

/// REQUIRES: the game is not over.
inline OutcomeDistribution plain_forward(const Networks& networks, const Position& position) {
  const Network& network = networks.used_for(phase_of(position));
  return plain_forward(network, oracle::features(position), possible_outcomes(position));
}

}  // namespace sixfold
