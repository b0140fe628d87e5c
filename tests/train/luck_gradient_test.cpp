#include <algorithm>
#include <array>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstddef>
#include <random>
#include <set>
#include <vector>

#include "evaluator/luck_fixtures.h"
#include "train/luck_learner.h"
#include "train/luck_learner_fixtures.h"

namespace sixfold {
namespace {

double mean_loss(const LuckNetwork& network, const Lessons& lessons) {
  return plain_squares(network, lessons).loss / static_cast<double>(lessons.samples.size());
}

/// The slope of the mean loss at one weight, by a central difference. The step is small, so that
/// hardly any unit passes an end of its range within it; the loss is in double, so that it can be.
double slope(LuckNetwork& network, float& weight, const Lessons& lessons) {
  constexpr float kStep = 0x1p-18f;
  const float middle = weight;
  const float high = middle + kStep;
  const float low = middle - kStep;
  weight = high;
  const double above = mean_loss(network, lessons);
  weight = low;
  const double below = mean_loss(network, lessons);
  weight = middle;
  return (above - below) / (static_cast<double>(high) - static_cast<double>(low));
}

std::vector<std::size_t> used_features(const Lessons& lessons) {
  std::set<std::size_t> used;
  for (const std::vector<double>& features : lessons.features) {
    for (std::size_t f = 0; f < features.size(); ++f) {
      if (features[f] != 0.0) used.insert(f);
    }
  }
  return {used.begin(), used.end()};
}

std::vector<std::size_t> used_facts(const Lessons& lessons) {
  std::set<std::size_t> used;
  for (const FactsOfRolls& facts : lessons.facts) {
    for (const std::vector<Fact>& of_roll : facts) used.insert(of_roll.begin(), of_roll.end());
  }
  return {used.begin(), used.end()};
}

}  // namespace

TEST_CASE("a luck network's gradients are the slopes of its mean loss") {
  const Lessons lessons = random_lessons(7, 40);
  LuckNetwork network = modest_luck_network(64, 64, 8);
  LuckLearner learner(state_of(network), 1);
  LuckNetwork gradient = learner.gradient(lessons.batch());
  CHECK(learner.state() == state_of(network));
  const std::vector<std::size_t> features = used_features(lessons);
  const std::vector<std::size_t> facts = used_facts(lessons);
  const std::vector<NamedArray> weights = arrays_of(network);
  const std::vector<NamedArray> gradients = arrays_of(gradient);
  REQUIRE(weights.size() == 6);
  std::mt19937_64 random(9);
  for (std::size_t a = 0; a < weights.size(); ++a) {
    std::vector<float>& values = *weights[a].values;
    double largest = 0.0;
    int flat = 0;
    for (int i = 0; i < 50; ++i) {
      std::size_t at = random() % values.size();
      const std::size_t column = at % weights[a].columns;
      if (weights[a].name == "first") {
        at = features[random() % features.size()] * weights[a].columns + column;
      } else if (weights[a].name == "facts") {
        at = facts[random() % facts.size()] * weights[a].columns + column;
      }
      const double expected = slope(network, values[at], lessons);
      INFO(weights[a].name << "[" << at << "]");
      CHECK(static_cast<double>((*gradients[a].values)[at]) ==
            Approx(expected).epsilon(2e-4).margin(3e-7));
      largest = std::max(largest, std::abs(expected));
      if (expected == 0.0) ++flat;
    }
    INFO(weights[a].name << ": largest " << largest << ", " << flat << " flat");
    CHECK(largest > 1e-4);
    CHECK(flat < 35);
  }
}

TEST_CASE("the slopes of measured losses have the gradient's direction") {
  const Lessons lessons = random_lessons(10, 40);
  const auto size = static_cast<double>(lessons.samples.size());
  LuckNetwork network = modest_luck_network(64, 64, 11);
  LuckLearner learner(state_of(network), 1);
  LuckNetwork gradient = learner.gradient(lessons.batch());
  // Each array is moved along its own gradient, as far as floats can tell the losses apart.
  for (std::size_t a = 0; a < 6; ++a) {
    const std::vector<float>& along = *arrays_of(gradient)[a].values;
    double square = 0.0;
    for (const float g : along) square += static_cast<double>(g) * static_cast<double>(g);
    const auto step = static_cast<float>(0.003 / std::sqrt(square));
    std::array<double, 2> losses{};
    for (const std::size_t side : {0u, 1u}) {
      LuckNetwork moved = network;
      std::vector<float>& values = *arrays_of(moved)[a].values;
      for (std::size_t i = 0; i < values.size(); ++i) {
        values[i] += (side == 0 ? -step : step) * along[i];
      }
      LuckLearner other(state_of(moved), 1);
      losses[side] = other.learn(lessons.batch(), 0.0f).loss / size;
    }
    INFO(arrays_of(gradient)[a].name);
    CHECK((losses[1] - losses[0]) / (2.0 * static_cast<double>(step)) ==
          Approx(square).epsilon(0.02));
  }
}

TEST_CASE("weights of features and facts that no luck sample has get no gradient") {
  const Lessons lessons = random_lessons(12, 3);
  LuckLearner learner(state_of(modest_luck_network(64, 64, 13)), 1);
  (void)learner.gradient(random_lessons(14, 50).batch());
  const LuckNetwork gradient = learner.gradient(lessons.batch());
  const auto check_rows = [](const std::vector<float>& values, std::size_t width,
                             const std::vector<std::size_t>& used) {
    std::vector<bool> is_used(values.size() / width, false);
    for (const std::size_t row : used) is_used[row] = true;
    std::size_t with_gradient = 0;
    for (std::size_t row = 0; row < is_used.size(); ++row) {
      const auto begin = values.begin() + static_cast<std::ptrdiff_t>(row * width);
      const bool zero = std::all_of(begin, begin + static_cast<std::ptrdiff_t>(width),
                                    [](float value) { return value == 0.0f; });
      if (!zero && !is_used[row]) FAIL("row " << row << " has a gradient");
      if (!zero) ++with_gradient;
    }
    CHECK(with_gradient > used.size() / 2);
  };
  check_rows(gradient.first, gradient.width(), used_features(lessons));
  check_rows(gradient.facts, 64, used_facts(lessons));
}

TEST_CASE("a sample twice in a batch counts twice") {
  const Lessons lessons = random_lessons(15, 20);
  const std::vector<const LuckSample*> once = lessons.batch();
  std::vector<const LuckSample*> twice = once;
  twice.insert(twice.end(), once.begin(), once.end());
  LuckLearner learner(state_of(modest_luck_network(64, 64, 16)), 1);
  CHECK(learner.learn(twice, 0.0f).loss == Approx(2.0 * learner.learn(once, 0.0f).loss));
  LuckNetwork single = learner.gradient(once);
  LuckNetwork both = learner.gradient(twice);
  for (std::size_t a = 0; a < 6; ++a) {
    const std::vector<float>& expected = *arrays_of(single)[a].values;
    const std::vector<float>& found = *arrays_of(both)[a].values;
    float largest = 0.0f;
    for (std::size_t i = 0; i < expected.size(); ++i) {
      largest = std::max(largest, std::abs(found[i] - expected[i]));
    }
    INFO(arrays_of(single)[a].name);
    CHECK(largest < 1e-5f);
  }
}

}  // namespace sixfold
