#include "train/luck_learner.h"

#include <algorithm>
#include <array>
#include <bit>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <random>
#include <set>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "equity/score.h"
#include "evaluator/luck_fixtures.h"
#include "oracles/features_oracle.h"
#include "oracles/random_positions.h"

namespace sixfold {
namespace {

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
Lessons random_lessons(std::uint64_t seed, int count) {
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
LuckSquares plain_squares(const LuckNetwork& network, const Lessons& lessons) {
  constexpr std::array<double, kOutcomeCount> kPoints{-3, -2, -1, 1, 2, 3};
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
        equity += kPoints[o] * luck;
        equity_error += kPoints[o] * error;
        squares.loss += share * error * error;
      }
      squares.luck += share * equity * equity;
      squares.error += share * equity_error * equity_error;
      squares.loss += share * equity_error * equity_error;
    }
  }
  return squares;
}

double mean_loss(const LuckNetwork& network, const Lessons& lessons) {
  return plain_squares(network, lessons).loss / static_cast<double>(lessons.samples.size());
}

LuckLearnerState state_of(const LuckNetwork& network) {
  const LuckNetwork zero = zero_luck_network(network.units, network.hidden);
  return {network, network, zero, zero, 0};
}

std::vector<std::uint32_t> bits_of(LuckLearnerState state) {
  std::vector<std::uint32_t> bits;
  for (LuckNetwork* const network :
       {&state.weights, &state.average, &state.first_moment, &state.second_moment}) {
    for_each_luck_array(
        *network, [&](const char*, const std::vector<float>& values, std::size_t, std::size_t) {
          for (const float value : values) bits.push_back(std::bit_cast<std::uint32_t>(value));
        });
  }
  return bits;
}

struct NamedArray {
  std::string name;
  std::vector<float>* values;
  std::size_t columns;
};

std::vector<NamedArray> arrays_of(LuckNetwork& network) {
  std::vector<NamedArray> arrays;
  for_each_luck_array(
      network, [&](const char* name, std::vector<float>& values, std::size_t, std::size_t columns) {
        arrays.push_back({name, &values, columns});
      });
  return arrays;
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

/// Learns several batches of different sizes, from less than a chunk of work to several.
LuckLearnerState state_after_lessons(const Lessons& lessons, int threads, InstructionSet level) {
  const std::vector<const LuckSample*> all = lessons.batch();
  const std::span<const LuckSample* const> batch(all);
  LuckLearner learner(state_of(modest_luck_network(64, 128, 2)), threads, level);
  (void)learner.learn(batch.first(70), 3e-3f);
  (void)learner.learn(batch.subspan(70, 1), 2e-3f);
  (void)learner.learn(batch.subspan(71, 16), 1e-3f);
  (void)learner.learn(batch, 3e-3f);
  return learner.state();
}

}  // namespace

TEST_CASE("the worth of luck in its loss is that for money") {
  const OutcomeWorth worth = parse_score("money").worth;
  for (int o = 0; o < kOutcomeCount; ++o) {
    CHECK(worth[static_cast<std::size_t>(o)] == (o < 3 ? o - 3 : o - 2));
  }
}

TEST_CASE("a luck learner's sums follow their definition") {
  const auto [units, hidden] = GENERATE(table<int, int>({{64, 64}, {128, 64}, {64, 128}}));
  CAPTURE(units, hidden);
  const Lessons lessons = random_lessons(3, 75);
  const LuckNetwork network = modest_luck_network(units, hidden, 4);
  const LuckSquares expected = plain_squares(network, lessons);
  LuckLearner learner(state_of(network), 1);
  const LuckSquares measured = learner.measure(lessons.batch());
  CHECK(measured.luck == Approx(expected.luck).epsilon(1e-5));
  CHECK(measured.error == Approx(expected.error).epsilon(1e-5));
  CHECK(measured.loss == Approx(expected.loss).epsilon(1e-5));
  CHECK(measured.explained() == Approx(1.0 - expected.error / expected.luck).margin(1e-5));
  CHECK(learner.state() == state_of(network));
  const LuckSquares learnt = learner.learn(lessons.batch(), 1e-3f);
  CHECK(learnt.luck == measured.luck);
  CHECK(learnt.error == measured.error);
  CHECK(learnt.loss == measured.loss);
}

TEST_CASE("a luck network of zeros explains nothing, and labels of its own are wholly explained") {
  Lessons lessons = random_lessons(5, 40);
  LuckLearner ignorant(state_of(zero_luck_network(64, 64)), 1);
  const LuckSquares squares = ignorant.measure(lessons.batch());
  CHECK(squares.error == squares.luck);
  CHECK(squares.explained() == 0.0);
  CHECK(LuckSquares{}.explained() == 0.0);

  const LuckNetwork network = modest_luck_network(64, 64, 6);
  for (std::size_t i = 0; i < lessons.samples.size(); ++i) {
    const PlainLuck plain = plain_luck(network, lessons.features[i], lessons.facts[i]);
    for (std::size_t r = 0; r < kRollCount; ++r) {
      for (std::size_t o = 0; o < kOutcomeCount; ++o) {
        lessons.samples[i].luck[r][o] = static_cast<float>(plain.luck[r][o]);
      }
    }
  }
  LuckLearner knowing(state_of(network), 1);
  CHECK(knowing.measure(lessons.batch()).explained() == Approx(1.0).margin(1e-8));
}

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
      losses[side] = other.measure(lessons.batch()).loss / size;
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
  CHECK(learner.measure(twice).loss == Approx(2.0 * learner.measure(once).loss));
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

TEST_CASE("the loss of a small batch of luck falls") {
  // Labels of a network of another kind: there is something to be found.
  Lessons lessons = random_lessons(17, 32);
  const LuckNetwork teacher = modest_luck_network(64, 64, 18);
  for (std::size_t i = 0; i < lessons.samples.size(); ++i) {
    const PlainLuck plain = plain_luck(teacher, lessons.features[i], lessons.facts[i]);
    for (std::size_t r = 0; r < kRollCount; ++r) {
      for (std::size_t o = 0; o < kOutcomeCount; ++o) {
        lessons.samples[i].luck[r][o] = static_cast<float>(plain.luck[r][o]);
      }
    }
  }
  RandomStream random(19, 0);
  LuckLearner learner(initial_luck_state(64, 64, random), 1);
  std::vector<LuckSquares> squares;
  for (int step = 0; step < 120; ++step) squares.push_back(learner.learn(lessons.batch(), 2e-3f));
  INFO("explained " << squares.front().explained() << ", " << squares[40].explained() << ", "
                    << squares.back().explained());
  CHECK(squares[10].loss < squares.front().loss);
  CHECK(squares[40].loss < squares[10].loss);
  CHECK(squares.back().loss < 0.5 * squares[40].loss);
  CHECK(squares.front().explained() < 0.1);
  CHECK(squares.back().explained() > 0.9);
  CHECK(learner.state().steps == 120);
}

TEST_CASE("the first step moves each luck weight by the learning rate, against its gradient") {
  constexpr float kRate = 1e-3f;
  const Lessons lessons = random_lessons(20, 50);
  LuckNetwork before = modest_luck_network(64, 64, 21);
  LuckLearner learner(state_of(before), 1);
  LuckNetwork gradient = learner.gradient(lessons.batch());
  (void)learner.learn(lessons.batch(), kRate);
  LuckLearnerState after = learner.state();
  CHECK(after.steps == 1);
  const auto old_weights = arrays_of(before);
  const auto new_weights = arrays_of(after.weights);
  const auto averages = arrays_of(after.average);
  const auto gradients = arrays_of(gradient);
  for (std::size_t a = 0; a < old_weights.size(); ++a) {
    std::size_t moved = 0;
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
    INFO(old_weights[a].name);
    CHECK(moved > 40);
  }
}

TEST_CASE("learning luck gives the same weights to the bit for any threads and instruction set") {
  const Lessons lessons = random_lessons(22, 100);
  const LuckLearnerState expected = state_after_lessons(lessons, 1, InstructionSet::kScalar);
  CHECK(expected.steps == 4);
  CHECK(expected.weights != modest_luck_network(64, 128, 2));
  const std::vector<std::uint32_t> bits = bits_of(expected);
  for (const InstructionSet level : available_levels()) {
    for (const int threads : {1, 2, 3}) {
      const LuckLearnerState found = state_after_lessons(lessons, threads, level);
      INFO(kInstructionSetNames[static_cast<std::size_t>(level)] << ", " << threads << " threads");
      CHECK(found.steps == expected.steps);
      CHECK(bits_of(found) == bits);
    }
  }
}

TEST_CASE("a luck learner that takes over another's state goes on in the same way") {
  const Lessons lessons = random_lessons(23, 50);
  RandomStream random(24, 0);
  LuckLearner straight(initial_luck_state(64, 64, random), 1);
  (void)straight.learn(lessons.batch(), 1e-3f);
  LuckLearner successor(straight.state(), 2);
  const LuckSquares squares = straight.learn(lessons.batch(), 1e-3f);
  CHECK(successor.learn(lessons.batch(), 1e-3f).loss == squares.loss);
  CHECK(bits_of(successor.state()) == bits_of(straight.state()));
}

TEST_CASE("what a luck learner did before leaves no trace in its next batch") {
  const Lessons many = random_lessons(25, 60);
  const Lessons few = random_lessons(26, 5);
  const LuckLearnerState state = state_of(modest_luck_network(64, 64, 27));
  LuckLearner fresh(state, 1);
  LuckLearner used(state, 1);
  (void)used.gradient(many.batch());
  CHECK(used.gradient(few.batch()) == fresh.gradient(few.batch()));
  CHECK(used.measure(few.batch()).loss == fresh.measure(few.batch()).loss);
}

TEST_CASE("a start of luck networks repeats for its stream and differs from that of another") {
  RandomStream first(28, 0), again(28, 0), other(28, 1);
  const LuckLearnerState state = initial_luck_state(128, 64, first);
  CHECK(state == initial_luck_state(128, 64, again));
  CHECK(state.weights != initial_luck_state(128, 64, other).weights);
  CHECK(state.average == state.weights);
  CHECK(state.first_moment == zero_luck_network(128, 64));
  CHECK(state.second_moment == zero_luck_network(128, 64));
  CHECK(state.steps == 0);
}

}  // namespace sixfold
