#include "train/learner.h"

#include <algorithm>
#include <array>
#include <bit>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdint>
#include <random>
#include <string>
#include <utility>
#include <vector>

#include "evaluator/network_fixtures.h"
#include "oracles/features_oracle.h"
#include "oracles/random_positions.h"
#include "rules/game_result.h"

namespace sixfold {
namespace {

/// Samples with the features of their positions.
struct Lessons {
  std::vector<Sample> samples;
  std::vector<std::vector<double>> features;

  [[nodiscard]] std::vector<const Sample*> batch() const {
    std::vector<const Sample*> batch;
    for (const Sample& sample : samples) batch.push_back(&sample);
    return batch;
  }
};

/// A random distribution over the possible outcomes, or one of them for certain.
TargetOutcomes random_target(std::mt19937_64& random, unsigned possible, bool is_certain) {
  TargetOutcomes target{};
  if (is_certain) {
    std::size_t outcome = random() % kOutcomeCount;
    while ((possible >> outcome & 1u) == 0) outcome = random() % kOutcomeCount;
    target[outcome] = 1.0f;
    return target;
  }
  float sum = 0.0f;
  for (std::size_t o = 0; o < kOutcomeCount; ++o) {
    if ((possible >> o & 1u) != 0) target[o] = static_cast<float>(1 + random() % 100);
    sum += target[o];
  }
  for (float& share : target) share /= sum;
  return target;
}

Lessons random_lessons(std::uint64_t seed, int count) {
  std::mt19937_64 random(seed);
  Lessons lessons;
  for (int i = 0; i < count; ++i) {
    const Position position = oracle::random_position(random, i % 4 == 0 ? i / 4 % 15 + 1 : 15);
    Sample sample;
    sample.rows = active_rows(position);
    sample.possible = possible_outcomes(position);
    sample.target = random_target(random, sample.possible, i % 5 == 0);
    lessons.samples.push_back(sample);
    lessons.features.push_back(oracle::features(position));
  }
  return lessons;
}

/// The mean cross entropy in double arithmetic, straight from its formula.
double plain_loss(const Network& network, const Lessons& lessons) {
  double sum = 0.0;
  for (std::size_t i = 0; i < lessons.samples.size(); ++i) {
    const Sample& sample = lessons.samples[i];
    const OutcomeDistribution output = plain_forward(network, lessons.features[i], sample.possible);
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      const auto target = static_cast<double>(sample.target[o]);
      if (target > 0.0) sum -= target * std::log(output[o]);
    }
  }
  return sum / static_cast<double>(lessons.samples.size());
}

/// The least loss that any network can have.
double entropy_of_targets(const Lessons& lessons) {
  double sum = 0.0;
  for (const Sample& sample : lessons.samples) {
    for (const float share : sample.target) {
      const auto p = static_cast<double>(share);
      if (p > 0.0) sum -= p * std::log(p);
    }
  }
  return sum / static_cast<double>(lessons.samples.size());
}

LearnerState state_of(const Network& network) {
  const Network zero = zero_network(network.hidden);
  return {network, network, zero, zero, 0};
}

std::vector<std::uint32_t> bits_of(LearnerState state) {
  std::vector<std::uint32_t> bits;
  for (Network* const network :
       {&state.weights, &state.average, &state.first_moment, &state.second_moment}) {
    for_each_array(*network,
                   [&](const char*, const std::vector<float>& values, std::size_t, std::size_t) {
                     for (const float value : values)
                       bits.push_back(std::bit_cast<std::uint32_t>(value));
                   });
  }
  return bits;
}

struct NamedArray {
  std::string name;
  std::vector<float>* values;
};

std::vector<NamedArray> arrays_of(Network& network) {
  std::vector<NamedArray> arrays;
  for_each_array(network,
                 [&](const char* name, std::vector<float>& values, std::size_t, std::size_t) {
                   arrays.push_back({name, &values});
                 });
  return arrays;
}

/// The slope of the loss at one weight, by a central difference. The step is small, so that hardly
/// any unit passes an end of its range within it; the loss is in double, so that it can be small.
double slope(Network& network, float& weight, const Lessons& lessons) {
  constexpr float kStep = 0x1p-20f;
  const float middle = weight;
  const float high = middle + kStep;
  const float low = middle - kStep;
  weight = high;
  const double loss_above = plain_loss(network, lessons);
  weight = low;
  const double loss_below = plain_loss(network, lessons);
  weight = middle;
  return (loss_above - loss_below) / (static_cast<double>(high) - static_cast<double>(low));
}

/// The features that none of the samples has.
std::vector<std::size_t> unused_features(const Lessons& lessons) {
  std::vector<std::size_t> unused;
  for (std::size_t f = 0; f < kFeatureCount; ++f) {
    const auto has_feature = [f](const auto& features) { return features[f] != 0.0; };
    if (std::none_of(lessons.features.begin(), lessons.features.end(), has_feature)) {
      unused.push_back(f);
    }
  }
  REQUIRE(unused.size() > 300);
  return unused;
}

/// Learns several batches of different sizes.
LearnerState state_after_lessons(int threads, InstructionSet level) {
  const Lessons lessons = random_lessons(1, 300);
  const std::vector<const Sample*> all = lessons.batch();
  const std::span<const Sample* const> batch(all);
  Learner learner(state_of(modest_network(128, 2)), threads, level);
  for (int round = 0; round < 2; ++round) {
    (void)learner.learn(batch.first(150), 3e-3f);
    (void)learner.learn(batch.subspan(150, 1), 2e-3f);
    (void)learner.learn(batch.subspan(151, 64), 1e-3f);
    (void)learner.learn(batch, 3e-3f);
  }
  return learner.state();
}

}  // namespace

TEST_CASE("a learner's outputs and losses follow the formula") {
  const Lessons lessons = random_lessons(3, 150);
  const Network network = modest_network(64, 4);
  Learner learner(state_of(network), 1);
  const auto outputs = learner.predict(lessons.samples);
  REQUIRE(outputs.size() == lessons.samples.size());
  for (std::size_t i = 0; i < outputs.size(); ++i) {
    const unsigned possible = lessons.samples[i].possible;
    const OutcomeDistribution expected = plain_forward(network, lessons.features[i], possible);
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      CHECK(static_cast<double>(outputs[i][o]) == Approx(expected[o]).margin(2e-6));
      if ((possible >> o & 1u) == 0) CHECK(outputs[i][o] == 0.0f);
    }
  }
  CHECK(learner.learn(lessons.batch(), 1e-3f) ==
        Approx(plain_loss(network, lessons)).epsilon(1e-5));
}

TEST_CASE("predictions of many samples come in their order") {
  const Lessons lessons = random_lessons(5, 70);
  std::vector<Sample> many;
  while (many.size() < 9000) {
    many.insert(many.end(), lessons.samples.begin(), lessons.samples.end());
  }
  Learner learner(state_of(modest_network(64, 6)), 1);
  const auto few_outputs = learner.predict(lessons.samples);
  const auto many_outputs = learner.predict(many);
  REQUIRE(many_outputs.size() == many.size());
  float largest = 0.0f;
  for (std::size_t i = 0; i < many.size(); ++i) {
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      largest = std::max(largest, std::abs(many_outputs[i][o] - few_outputs[i % 70][o]));
    }
  }
  CHECK(largest < 2e-6f);
  CHECK(learner.predict({}).empty());
}

TEST_CASE("gradients are the slopes of the loss") {
  const Lessons lessons = random_lessons(7, 150);
  const auto excluding = std::count_if(lessons.samples.begin(), lessons.samples.end(),
                                       [](const Sample& sample) { return sample.possible != 63; });
  REQUIRE(excluding > 20);
  Network network = modest_network(128, 8);
  Learner learner(state_of(network), 1);
  Network gradient = learner.gradient(lessons.batch());
  CHECK(learner.state() == state_of(network));
  const std::vector<NamedArray> weights = arrays_of(network);
  const std::vector<NamedArray> gradients = arrays_of(gradient);
  REQUIRE(weights.size() == 6);
  std::mt19937_64 random(9);
  for (std::size_t a = 0; a < weights.size(); ++a) {
    std::vector<float>& values = *weights[a].values;
    double largest = 0.0;
    for (int i = 0; i < 60; ++i) {
      const std::size_t at = random() % values.size();
      const double expected = slope(network, values[at], lessons);
      INFO(weights[a].name << "[" << at << "]");
      CHECK(static_cast<double>((*gradients[a].values)[at]) ==
            Approx(expected).epsilon(1e-4).margin(2e-7));
      largest = std::max(largest, std::abs(expected));
    }
    INFO(weights[a].name);
    CHECK(largest > 1e-3);
  }
}

TEST_CASE("weights of features that no sample has get no gradient") {
  const Lessons lessons = random_lessons(10, 3);
  Learner learner(state_of(modest_network(64, 11)), 1);
  (void)learner.gradient(random_lessons(12, 100).batch());
  const Network gradient = learner.gradient(lessons.batch());
  for (const std::size_t f : unused_features(lessons)) {
    const auto row = gradient.first.begin() + static_cast<std::ptrdiff_t>(64 * f);
    CHECK(std::all_of(row, row + 64, [](float value) { return value == 0.0f; }));
  }
}

TEST_CASE("the first step moves each weight by the learning rate, against its gradient") {
  constexpr float kRate = 1e-3f;
  const Lessons lessons = random_lessons(13, 100);
  Network before = modest_network(64, 14);
  Learner learner(state_of(before), 1);
  Network gradient = learner.gradient(lessons.batch());
  (void)learner.learn(lessons.batch(), kRate);
  LearnerState after = learner.state();
  CHECK(after.steps == 1);
  const auto old_weights = arrays_of(before);
  const auto new_weights = arrays_of(after.weights);
  const auto averages = arrays_of(after.average);
  const auto gradients = arrays_of(gradient);
  std::size_t moved = 0;
  for (std::size_t a = 0; a < old_weights.size(); ++a) {
    for (std::size_t i = 0; i < old_weights[a].values->size(); ++i) {
      const float g = (*gradients[a].values)[i];
      if (std::abs(g) < 1e-5f) continue;
      const float old_weight = (*old_weights[a].values)[i];
      const float move = (*new_weights[a].values)[i] - old_weight;
      const float average_move = (*averages[a].values)[i] - old_weight;
      const float wanted = g > 0.0f ? -kRate : kRate;
      const bool is_right = std::abs(move - wanted) < 0.1f * kRate;
      const bool is_between = average_move * move > 0.0f && std::abs(average_move) < std::abs(move);
      if (!is_right || !is_between) FAIL(old_weights[a].name << "[" << i << "] by " << move);
      ++moved;
    }
  }
  CHECK(moved > 1000);
}

TEST_CASE("weights of features out of use fade") {
  const Lessons lessons = random_lessons(20, 3);
  const Network before = modest_network(64, 21);
  Learner learner(state_of(before), 1);
  (void)learner.learn(lessons.batch(), 1e-2f);
  const Network& after = learner.state().weights;
  for (const std::size_t f : unused_features(lessons)) {
    for (std::size_t i = 64 * f; i < 64 * (f + 1); ++i) {
      const float share = after.first[i] / before.first[i];
      if (!(share < 1.0f && share > 0.9f)) FAIL("weight " << i << " keeps " << share);
    }
  }
}

TEST_CASE("weights stay within their bound, however hard they are pushed") {
  constexpr float kBound = 2.0f;
  const Lessons lessons = random_lessons(22, 100);
  Learner learner(state_of(modest_network(64, 23)), 1);
  float lowest = 0.0f;
  float highest = 0.0f;
  for (int step = 0; step < 30; ++step) {
    (void)learner.learn(lessons.batch(), 0.5f);
    LearnerState state = learner.state();
    for (Network* const network : {&state.weights, &state.average}) {
      for (const NamedArray& array : arrays_of(*network)) {
        for (const float weight : *array.values) {
          if (!std::isfinite(weight)) FAIL(array.name << " in step " << step);
          lowest = std::min(lowest, weight);
          highest = std::max(highest, weight);
        }
      }
    }
  }
  CHECK(lowest == -kBound);
  CHECK(highest == kBound);
}

TEST_CASE("the loss of a small batch falls nearly to the entropy of its targets") {
  const Lessons lessons = random_lessons(15, 32);
  const double least = entropy_of_targets(lessons);
  RandomStream random(16, 0);
  Learner learner(initial_state(64, random), 1);
  std::vector<double> losses;
  for (int step = 0; step < 300; ++step) losses.push_back(learner.learn(lessons.batch(), 3e-3f));
  CHECK(losses.front() - least > 0.3);
  CHECK(losses[30] < losses.front());
  CHECK(losses[100] < losses[30]);
  CHECK(losses.back() > least);
  CHECK(losses.back() - least < 0.05 * (losses.front() - least));
  CHECK(learner.state().steps == 300);
}

TEST_CASE("learning gives the same weights to the bit for any threads and instruction set") {
  const LearnerState expected = state_after_lessons(1, InstructionSet::kScalar);
  CHECK(expected.steps == 8);
  for (const InstructionSet level : available_levels()) {
    for (const int threads : {1, 2, 5}) {
      const LearnerState found = state_after_lessons(threads, level);
      INFO(kInstructionSetNames[static_cast<std::size_t>(level)] << ", " << threads << " threads");
      CHECK(found.steps == expected.steps);
      CHECK(bits_of(found) == bits_of(expected));
    }
  }
}

TEST_CASE("a learner that takes over another's state goes on in the same way") {
  const Lessons lessons = random_lessons(17, 100);
  RandomStream random(18, 0);
  Learner straight(initial_state(64, random), 1);
  (void)straight.learn(lessons.batch(), 1e-3f);
  Learner successor(straight.state(), 2);
  const double loss = straight.learn(lessons.batch(), 1e-3f);
  CHECK(successor.learn(lessons.batch(), 1e-3f) == loss);
  CHECK(bits_of(successor.state()) == bits_of(straight.state()));
}

TEST_CASE("a start repeats for its stream and differs from that of another") {
  RandomStream first(19, 0), again(19, 0), other(19, 1);
  const LearnerState state = initial_state(128, first);
  CHECK(state == initial_state(128, again));
  CHECK(state.weights != initial_state(128, other).weights);
  CHECK(state.average == state.weights);
  CHECK(state.first_moment == zero_network(128));
  CHECK(state.second_moment == zero_network(128));
  CHECK(state.steps == 0);
}

}  // namespace sixfold
