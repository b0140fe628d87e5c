/// What the tests of the luck learner share: samples, the formula of its sums, and its arrays.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <random>
#include <string>
#include <vector>

#include "evaluator/luck_fixtures.h"
#include "evaluator/luck_network.h"
#include "oracles/features_oracle.h"
#include "oracles/random_positions.h"
#include "train/luck_learner.h"

namespace sixfold {

/// Samples with what their positions' formula needs.
struct Lessons {
  std::vector<LuckSample> samples;
  std::vector<std::vector<double>> features;
  std::vector<FactsOfRolls> facts;

  [[nodiscard]] std::vector<const LuckSample*> batch() const {
    std::vector<const LuckSample*> batch;
    for (const LuckSample& sample : samples) batch.push_back(&sample);
    return batch;
  }
};

/// Positions of all sorts with luck made up.
inline Lessons random_lessons(std::uint64_t seed, int count) {
  std::mt19937_64 random(seed);
  Lessons lessons;
  for (int i = 0; i < count; ++i) {
    LuckSample sample;
    sample.position = oracle::random_position(random, i % 4 == 0 ? i / 4 % 15 + 1 : 15);
    for (auto& luck : sample.luck) {
      for (float& of_outcome : luck) {
        of_outcome = 0.2f * (static_cast<float>(random() % 2001) / 1000.0f - 1.0f);
      }
    }
    lessons.samples.push_back(sample);
    lessons.features.push_back(oracle::features(sample.position));
    lessons.facts.push_back(facts_of_rolls(sample.position));
  }
  return lessons;
}

/// The sums of the lessons in double arithmetic, straight from their definition.
inline LuckSquares plain_squares(const LuckNetwork& network, const Lessons& lessons) {
  LuckSquares squares;
  for (std::size_t i = 0; i < lessons.samples.size(); ++i) {
    const PlainLuck plain = plain_luck(network, lessons.features[i], lessons.facts[i]);
    for (std::size_t r = 0; r < kRollCount; ++r) {
      const double share = kRolls[r].weight() / 36.0;
      double equity = 0.0;
      double equity_error = 0.0;
      for (std::size_t o = 0; o < kOutcomeCount; ++o) {
        const auto luck = static_cast<double>(lessons.samples[i].luck[r][o]);
        const double error = plain.luck[r][o] - luck;
        equity += kMoneyWorth[o] * luck;
        equity_error += kMoneyWorth[o] * error;
        squares.loss += share * error * error;
      }
      squares.luck += share * equity * equity;
      squares.error += share * equity_error * equity_error;
      squares.loss += share * equity_error * equity_error;
    }
  }
  return squares;
}

inline LuckLearnerState state_of(const LuckNetwork& network) {
  const LuckNetwork zero = zero_luck_network(network.units, network.hidden);
  return {network, network, zero, zero, 0};
}

struct NamedArray {
  std::string name;
  std::vector<float>* values;
  std::size_t columns;
};

inline std::vector<NamedArray> arrays_of(LuckNetwork& network) {
  std::vector<NamedArray> arrays;
  for_each_luck_array(
      network, [&](const char* name, std::vector<float>& values, std::size_t, std::size_t columns) {
        arrays.push_back({name, &values, columns});
      });
  return arrays;
}

}  // namespace sixfold
