#include "train/luck_learner.h"

#include <algorithm>
#include <bit>
#include <cmath>

#include "equity/score.h"
#include "train/adam.h"
#include "train/dense.h"

namespace sixfold {
namespace {

constexpr std::size_t kChunkSamples = 16;
/// Units whose fact gradients one thread sums at a time.
constexpr std::size_t kSlice = 32;
constexpr float kWeightDecay = 0.02f;

float weight_of(std::size_t roll) {
  return static_cast<float>(kRolls[roll].weight()) / kDiceOutcomes;
}

}  // namespace

/// One position's work.
struct LuckLearner::Case {
  RollFacts facts;
  std::vector<float> units;   ///< 21 x U, activations
  std::vector<float> shared;  ///< kSharedLists x U: sums of shared facts, then their gradients.
  /// 21 x U: deviations from the mean, times the gates; then the units' gradients before the
  /// activation.
  std::vector<float> gated;
  std::vector<float> mean;                                            ///< U
  std::array<std::array<float, kOutcomeCount>, kRollCount> errors{};  ///< weighted for the loss
};

/// Up to kChunkSamples consecutive positions of a batch and the dense layers' work on them.
struct LuckLearner::Chunk {
  std::size_t first = 0;
  std::size_t size = 0;
  LuckSquares squares;
  Matrix hidden;         ///< size x H, after the activation
  Matrix gates;          ///< size x U, after the activation
  Matrix gate_gradient;  ///< size x U, before it
  Matrix hidden_gradient;
  Matrix gate_weights_gradient;
  std::vector<float> outcome_gradient;  ///< O x U
};

LuckLearnerState initial_luck_state(int units, int hidden, RandomStream& random) {
  LuckLearnerState state;
  state.weights = zero_luck_network(units, hidden);
  LuckNetwork& net = state.weights;
  // Some 50 features and 20 facts are active: units and hidden units start inside (0, 1).
  fill_uniform(net.first, 0.07f, random);
  fill_uniform(net.facts, 0.1f, random);
  fill_uniform(net.gate_weights, 1.0f / std::sqrt(static_cast<float>(hidden)), random);
  fill_uniform(net.outcomes, 0.02f, random);
  std::fill(net.first_bias.begin(), net.first_bias.end(), 0.3f);
  std::fill(net.gate_bias.begin(), net.gate_bias.end(), 0.5f);
  state.average = state.weights;
  state.first_moment = zero_luck_network(units, hidden);
  state.second_moment = zero_luck_network(units, hidden);
  return state;
}

LuckLearner::LuckLearner(LuckLearnerState state, int threads, InstructionSet level)
    : state_(std::move(state)),
      workers_(threads),
      loops_(&training_loops(level)),
      first_layer_(state_.weights.width()),
      gradient_(zero_luck_network(state_.weights.units, state_.weights.hidden)) {}

LuckLearner::LuckLearner(LuckLearner&&) noexcept = default;
LuckLearner::~LuckLearner() = default;

LuckSquares LuckLearner::learn(std::span<const LuckSample* const> batch, float learning_rate) {
  const LuckSquares squares = forward_backward(batch);
  std::vector<TrainedArray> arrays = trained_arrays(
      state_.weights, state_.first_moment, state_.second_moment, state_.average, gradient_,
      [](auto& network, auto visit) { for_each_luck_array(network, visit); });
  for (TrainedArray& array : arrays) {
    const bool sparse =
        array.weights == &state_.weights.first || array.weights == &state_.weights.facts;
    if (sparse) array.decay = kWeightDecay;
  }
  adam_step(arrays, ++state_.steps, learning_rate, *loops_, workers_);
  return squares;
}

LuckNetwork LuckLearner::gradient(std::span<const LuckSample* const> batch) {
  forward_backward(batch);
  return gradient_;
}

LuckSquares LuckLearner::forward_backward(std::span<const LuckSample* const> batch) {
  const LuckNetwork& net = state_.weights;
  const auto units = static_cast<std::size_t>(net.units);
  rows_.clear();
  for (const LuckSample* sample : batch) rows_.push_back(active_rows(sample->position));
  row_lists_.clear();
  for (const RowList& rows : rows_) row_lists_.push_back(&rows);
  first_layer_.bake(row_lists_, net.first, *loops_, workers_);
  outcome_rows_.resize(kOutcomeCount * units);
  for (std::size_t u = 0; u < units; ++u) {
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      outcome_rows_[o * units + u] = net.outcomes[u * kOutcomeCount + o];
    }
  }
  sums_.resize(batch.size() * net.width());
  sums_gradient_.resize(batch.size() * net.width());
  cases_.resize(batch.size());
  chunks_.resize((batch.size() + kChunkSamples - 1) / kChunkSamples);
  share_ = 1.0 / static_cast<double>(batch.size());
  workers_.for_each(chunks_.size(), [&](std::size_t c) {
    Chunk& chunk = chunks_[c];
    chunk.first = c * kChunkSamples;
    chunk.size = std::min(kChunkSamples, batch.size() - chunk.first);
    forward_backward_chunk(batch, chunk);
  });
  first_layer_.gradient(row_lists_, sums_gradient_, gradient_.first, gradient_.first_bias, *loops_,
                        workers_);
  fact_gradient();
  sum_chunks();
  LuckSquares total;
  for (const Chunk& chunk : chunks_) total += chunk.squares;
  return total;
}

/// The first layer of the chunk's positions.
void LuckLearner::sum_rows(Chunk& chunk) {
  const LuckNetwork& net = state_.weights;
  const auto units = static_cast<std::size_t>(net.units);
  const auto hidden = static_cast<std::size_t>(net.hidden);
  chunk.hidden.resize(index(chunk.size), index(hidden));
  for (std::size_t i = 0; i < chunk.size; ++i) {
    float* const sums = sums_.data() + (chunk.first + i) * net.width();
    std::copy(net.first_bias.begin(), net.first_bias.end(), sums);
    for (const Row row : rows_[chunk.first + i]) {
      loops_->add(sums, first_layer_.row(row), net.width());
    }
    loops_->clamp(sums + units, hidden);
    std::copy_n(sums + units, hidden, chunk.hidden.data() + i * hidden);
  }
}

void LuckLearner::forward_backward_chunk(std::span<const LuckSample* const> batch, Chunk& chunk) {
  const LuckNetwork& net = state_.weights;
  const auto units = static_cast<std::size_t>(net.units);
  const auto hidden = static_cast<std::size_t>(net.hidden);
  sum_rows(chunk);
  chunk.gates.noalias() = chunk.hidden * view(net.gate_weights, hidden, units);
  chunk.gates.rowwise() += view(net.gate_bias, 1, units).row(0);
  chunk.gates = chunk.gates.cwiseMax(0.0f);
  chunk.gate_gradient.setZero(index(chunk.size), index(units));
  chunk.outcome_gradient.assign(kOutcomeCount * units, 0.0f);
  chunk.squares = {};
  for (std::size_t i = 0; i < chunk.size; ++i) {
    Case& one = cases_[chunk.first + i];
    const LuckSample& sample = *batch[chunk.first + i];
    one.facts = roll_facts(sample.position);
    activate_rolls(one, sums_.data() + (chunk.first + i) * net.width());
    chunk.squares += errors(sample, one, chunk.gates.data() + i * units);
    carry_back(one, chunk, i);
  }
  chunk.gate_gradient =
      (chunk.gates.array() > 0.0f).select(chunk.gate_gradient.array(), 0.0f).matrix();
  chunk.gate_weights_gradient.noalias() = chunk.hidden.transpose() * chunk.gate_gradient;
  chunk.hidden_gradient.noalias() =
      chunk.gate_gradient * view(net.gate_weights, hidden, units).transpose();
  loops_->mask_clamped(chunk.hidden_gradient.data(), chunk.hidden.data(), chunk.size * hidden);
  for (std::size_t i = 0; i < chunk.size; ++i) {
    std::copy_n(chunk.hidden_gradient.data() + i * hidden, hidden,
                sums_gradient_.data() + (chunk.first + i) * net.width() + units);
  }
}

/// The activations of all rolls and their mean.
void LuckLearner::activate_rolls(Case& one, const float* context) {
  const LuckNetwork& net = state_.weights;
  const auto units = static_cast<std::size_t>(net.units);
  one.shared.assign(RollFacts::kSharedLists * units, 0.0f);
  for (std::size_t list = 0; list < RollFacts::kSharedLists; ++list) {
    for (const Fact fact : one.facts.shared[list]) {
      loops_->add(one.shared.data() + list * units, net.facts.data() + fact * units, units);
    }
  }
  one.units.resize(kRollCount * units);
  one.mean.assign(units, 0.0f);
  for (std::size_t r = 0; r < kRollCount; ++r) {
    float* const sums = one.units.data() + r * units;
    std::copy_n(context, units, sums);
    for (unsigned uses = one.facts.uses[r]; uses != 0; uses &= uses - 1) {
      const auto list = static_cast<std::size_t>(std::countr_zero(uses));
      loops_->add(sums, one.shared.data() + list * units, units);
    }
    for (const Fact fact : one.facts.own[r]) {
      loops_->add(sums, net.facts.data() + fact * units, units);
    }
    loops_->clamp(sums, units);
    loops_->add_scaled(one.mean.data(), sums, weight_of(r), units);
  }
}

/// The squares of one position; leaves in `one` the gated deviations and the errors as the loss
/// weights them.
LuckSquares LuckLearner::errors(const LuckSample& sample, Case& one, const float* gates) {
  const auto units = static_cast<std::size_t>(state_.weights.units);
  one.gated.resize(kRollCount * units);
  LuckSquares squares;
  for (std::size_t r = 0; r < kRollCount; ++r) {
    float* const gated = one.gated.data() + r * units;
    loops_->gated_deviation(gated, one.units.data() + r * units, one.mean.data(), gates, units);
    std::array<float, kOutcomeCount> error;
    double equity_error = 0.0;
    double equity = 0.0;
    double sum = 0.0;
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      error[o] = loops_->dot(gated, outcome_rows_.data() + o * units, units) - sample.luck[r][o];
      equity_error += static_cast<double>(error[o]) * kMoneyWorth[o];
      equity += static_cast<double>(sample.luck[r][o]) * kMoneyWorth[o];
      sum += static_cast<double>(error[o]) * static_cast<double>(error[o]);
    }
    const auto weight = static_cast<double>(weight_of(r));
    squares.luck += weight * equity * equity;
    squares.error += weight * equity_error * equity_error;
    squares.loss += weight * (equity_error * equity_error + sum);
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      const double slope = equity_error * kMoneyWorth[o] + static_cast<double>(error[o]);
      one.errors[r][o] = static_cast<float>(2.0 * weight * slope * share_);
    }
  }
  return squares;
}

/// Gradients of one position: by outcome weights and gates into the chunk, by units into `one` and
/// sums_gradient_.
void LuckLearner::carry_back(Case& one, Chunk& chunk, std::size_t place) {
  const auto units = static_cast<std::size_t>(state_.weights.units);
  const float* const gates = chunk.gates.data() + place * units;
  float* const gate_gradient = chunk.gate_gradient.data() + place * units;
  float* const context = sums_gradient_.data() + (chunk.first + place) * state_.weights.width();
  std::vector<float> mean_gradient(units, 0.0f);
  for (std::size_t r = 0; r < kRollCount; ++r) {
    float* const gated = one.gated.data() + r * units;
    std::vector<float> slope(units, 0.0f);
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      loops_->add_scaled(slope.data(), outcome_rows_.data() + o * units, one.errors[r][o], units);
      loops_->add_scaled(chunk.outcome_gradient.data() + o * units, gated, one.errors[r][o], units);
    }
    loops_->gate_slope(gate_gradient, slope.data(), one.units.data() + r * units, one.mean.data(),
                       gates, units);
    // From here on the gated deviations' place holds the slopes by deviations.
    std::copy(slope.begin(), slope.end(), gated);
    loops_->add(mean_gradient.data(), gated, units);
  }
  std::fill_n(context, units, 0.0f);
  std::fill(one.shared.begin(), one.shared.end(), 0.0f);
  for (std::size_t r = 0; r < kRollCount; ++r) {
    float* const slope = one.gated.data() + r * units;
    float* const activations = one.units.data() + r * units;
    loops_->add_scaled(slope, mean_gradient.data(), -weight_of(r), units);
    loops_->mask_clamped(slope, activations, units);
    loops_->add(context, slope, units);
    for (unsigned uses = one.facts.uses[r]; uses != 0; uses &= uses - 1) {
      const auto list = static_cast<std::size_t>(std::countr_zero(uses));
      loops_->add(one.shared.data() + list * units, slope, units);
    }
  }
}

/// Sums gradients by fact, each slice of units on its own.
void LuckLearner::fact_gradient() {
  const auto units = static_cast<std::size_t>(state_.weights.units);
  workers_.for_each(units / kSlice, [&](std::size_t slice) {
    const std::size_t start = slice * kSlice;
    for (std::size_t fact = 0; fact < kFactCount; ++fact) {
      std::fill_n(gradient_.facts.data() + fact * units + start, kSlice, 0.0f);
    }
    const auto add = [&](const FactList& facts, const float* from) {
      for (const Fact fact : facts) {
        loops_->add(gradient_.facts.data() + fact * units + start, from + start, kSlice);
      }
    };
    for (const Case& one : cases_) {
      for (std::size_t list = 0; list < RollFacts::kSharedLists; ++list) {
        add(one.facts.shared[list], one.shared.data() + list * units);
      }
      for (std::size_t r = 0; r < kRollCount; ++r) {
        add(one.facts.own[r], one.gated.data() + r * units);
      }
    }
  });
}

/// The dense layers' gradients, chunk after chunk.
void LuckLearner::sum_chunks() {
  const auto units = static_cast<std::size_t>(state_.weights.units);
  const auto hidden = static_cast<std::size_t>(state_.weights.hidden);
  MatrixView gate_weights(gradient_.gate_weights.data(), index(hidden), index(units));
  MatrixView gate_bias(gradient_.gate_bias.data(), 1, index(units));
  gate_weights.setZero();
  gate_bias.setZero();
  std::fill(gradient_.outcomes.begin(), gradient_.outcomes.end(), 0.0f);
  for (const Chunk& chunk : chunks_) {
    gate_weights += chunk.gate_weights_gradient;
    gate_bias += chunk.gate_gradient.colwise().sum();
    for (std::size_t u = 0; u < units; ++u) {
      for (std::size_t o = 0; o < kOutcomeCount; ++o) {
        gradient_.outcomes[u * kOutcomeCount + o] += chunk.outcome_gradient[o * units + u];
      }
    }
  }
}

}  // namespace sixfold
