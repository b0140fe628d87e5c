#include "train/luck_learner.h"

#include <bit>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "equity/score.h"
#include "evaluator/luck_fixtures.h"
#include "train/luck_learner_fixtures.h"

namespace sixfold {
namespace {

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
  for (int o = 0; o < kOutcomeCount; ++o) {
    CHECK(kMoneyWorth[static_cast<std::size_t>(o)] == (o < 3 ? o - 3 : o - 2));
  }
}

TEST_CASE("a luck learner's sums follow their definition") {
  const auto [units, hidden] = GENERATE(table<int, int>({{64, 64}, {128, 64}, {64, 128}}));
  CAPTURE(units, hidden);
  const Lessons lessons = random_lessons(3, 75);
  const LuckNetwork network = modest_luck_network(units, hidden, 4);
  const LuckSquares expected = plain_squares(network, lessons);
  LuckLearner learner(state_of(network), 1);
  const LuckSquares measured = learner.learn(lessons.batch(), 1e-3f);
  CHECK(measured.luck == Approx(expected.luck).epsilon(1e-5));
  CHECK(measured.error == Approx(expected.error).epsilon(1e-5));
  CHECK(measured.loss == Approx(expected.loss).epsilon(1e-5));
  CHECK(measured.explained() == Approx(1.0 - expected.error / expected.luck).margin(1e-5));
  // They are those before the step: after it there are others.
  CHECK(learner.learn(lessons.batch(), 1e-3f).loss != measured.loss);
}

TEST_CASE("a luck network of zeros explains nothing, and labels of its own are wholly explained") {
  Lessons lessons = random_lessons(5, 40);
  LuckLearner ignorant(state_of(zero_luck_network(64, 64)), 1);
  const LuckSquares squares = ignorant.learn(lessons.batch(), 0.0f);
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
  CHECK(knowing.learn(lessons.batch(), 0.0f).explained() == Approx(1.0).margin(1e-8));
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
  CHECK(used.learn(few.batch(), 0.0f).loss == fresh.learn(few.batch(), 0.0f).loss);
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
