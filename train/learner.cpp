#include "train/learner.h"

#include <Eigen/Core>
#include <algorithm>
#include <cmath>

namespace sixfold {
namespace {

constexpr std::size_t kChunkSamples = 64;
constexpr std::size_t kSlice = kHiddenStep;
constexpr std::size_t kPredictBatch = 4096;

constexpr float kAverageDecay = 0.9995f;
/// Decoupled weight decay of the first layer (Loshchilov I. & Hutter F., Decoupled weight decay
/// regularization, ICLR 2019). At 100,000 games .1 beat .01 by .025 +- .008 points a game; .3 was
/// level with it, 1 lost .018. It also keeps the int16 sums far from their limit.
constexpr float kWeightDecay = 0.1f;
/// Bound on every weight: the second layer is stored in int8, where an outlier coarsens the rest.
constexpr float kWeightLimit = 2.0f;

using Matrix = Eigen::Matrix<float, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
using MatrixView = Eigen::Map<Matrix>;
using ConstMatrixView = Eigen::Map<const Matrix>;

Eigen::Index index(std::size_t i) { return static_cast<Eigen::Index>(i); }

ConstMatrixView view(const std::vector<float>& values, std::size_t rows, std::size_t columns) {
  return {values.data(), index(rows), index(columns)};
}

void fill_uniform(std::vector<float>& values, float range, RandomStream& random) {
  for (float& value : values) value = range * static_cast<float>(2.0 * random.uniform() - 1.0);
}

/// Softmax over possible outcomes, in place; impossible ones become zero.
void softmax(float* logits, unsigned possible) {
  float highest = -1e30f;
  for (unsigned o = 0; o < kOutcomeCount; ++o) {
    if ((possible >> o & 1u) != 0) highest = std::max(highest, logits[o]);
  }
  float sum = 0.0f;
  for (unsigned o = 0; o < kOutcomeCount; ++o) {
    logits[o] = (possible >> o & 1u) != 0 ? std::exp(logits[o] - highest) : 0.0f;
    sum += logits[o];
  }
  for (unsigned o = 0; o < kOutcomeCount; ++o) logits[o] /= sum;
}

}  // namespace

/// Up to kChunkSamples consecutive samples of a batch and the dense layers' work on them.
struct Learner::Chunk {
  std::size_t first = 0;
  std::size_t size = 0;
  double loss = 0.0;
  Matrix second;           ///< size x S, after the activation
  Matrix logit_gradient;   ///< size x O
  Matrix second_gradient;  ///< size x S
  Matrix second_weights_gradient;
  Matrix head_weights_gradient;
};

LearnerState initial_state(int hidden, RandomStream& random) {
  LearnerState state;
  state.weights = zero_network(hidden);
  // About 50 features are active; activations start inside (0, 1), the second layer near zero.
  fill_uniform(state.weights.first, 0.1f, random);
  for (float& bias : state.weights.first_bias) bias = 0.3f;
  fill_uniform(state.weights.second_weights, 2.0f / std::sqrt(static_cast<float>(hidden)), random);
  fill_uniform(state.weights.head_weights, 0.25f, random);
  state.average = state.weights;
  state.first_moment = zero_network(hidden);
  state.second_moment = zero_network(hidden);
  return state;
}

Learner::Learner(LearnerState state, int threads, InstructionSet level)
    : state_(std::move(state)), workers_(threads), loops_(&training_loops(level)) {
  for (int row = 0; row < kRowCount; ++row) features_.push_back(features_of_row(row));
  const auto hidden = static_cast<std::size_t>(state_.weights.hidden);
  rows_.resize(kRowCount * hidden);
  row_gradient_.resize(kRowCount * hidden);
  is_used_.resize(kRowCount);
  gradient_ = zero_network(state_.weights.hidden);
}

Learner::Learner(Learner&&) noexcept = default;
Learner::~Learner() = default;

std::vector<TargetOutcomes> Learner::predict(std::span<const Sample> samples) {
  std::vector<TargetOutcomes> outputs;
  outputs.reserve(samples.size());
  std::vector<const Sample*> batch;
  for (std::size_t first = 0; first < samples.size(); first += kPredictBatch) {
    batch.clear();
    const std::size_t last = std::min(first + kPredictBatch, samples.size());
    for (std::size_t i = first; i < last; ++i) batch.push_back(&samples[i]);
    forward_backward(batch, false);
    outputs.insert(outputs.end(), outputs_.begin(), outputs_.end());
  }
  return outputs;
}

double Learner::learn(std::span<const Sample* const> batch, float learning_rate) {
  const double loss = forward_backward(batch, true);
  adam(learning_rate);
  return loss;
}

Network Learner::gradient(std::span<const Sample* const> batch) {
  forward_backward(batch, true);
  return gradient_;
}

/// Bakes the rows that the batch uses.
void Learner::bake(std::span<const Sample* const> batch) {
  used_rows_.clear();
  std::fill(is_used_.begin(), is_used_.end(), false);
  for (const Sample* sample : batch) {
    for (const Row row : sample->rows) {
      if (is_used_[row]) continue;
      is_used_[row] = true;
      used_rows_.push_back(row);
    }
  }
  const auto hidden = static_cast<std::size_t>(state_.weights.hidden);
  workers_.for_each(hidden / kSlice, [&](std::size_t slice) {
    for (const Row row : used_rows_) {
      float* const out = rows_.data() + row * hidden + slice * kSlice;
      std::fill_n(out, kSlice, 0.0f);
      for (const WeightedFeature& entry : features_[row]) {
        const float* const in = state_.weights.first.data() +
                                static_cast<std::size_t>(entry.feature) * hidden + slice * kSlice;
        loops_->add_scaled(out, in, entry.weight, kSlice);
      }
    }
  });
}

double Learner::forward_backward(std::span<const Sample* const> batch, bool backward) {
  const auto hidden = static_cast<std::size_t>(state_.weights.hidden);
  bake(batch);
  hidden_.resize(batch.size() * hidden);
  hidden_gradient_.resize(batch.size() * hidden);
  outputs_.resize(batch.size());
  const std::size_t chunk_count = (batch.size() + kChunkSamples - 1) / kChunkSamples;
  chunks_.resize(chunk_count);
  workers_.for_each(chunk_count, [&](std::size_t c) {
    Chunk& chunk = chunks_[c];
    chunk.first = c * kChunkSamples;
    chunk.size = std::min(kChunkSamples, batch.size() - chunk.first);
    forward_chunk(batch, chunk);
    if (backward) backward_chunk(chunk);
  });
  if (!backward) return 0.0;
  first_layer_gradient(batch);
  sum_chunks();
  double loss = 0.0;
  for (const Chunk& chunk : chunks_) loss += chunk.loss;
  return loss / static_cast<double>(batch.size());
}

void Learner::forward_chunk(std::span<const Sample* const> batch, Chunk& chunk) {
  const Network& net = state_.weights;
  const auto hidden = static_cast<std::size_t>(net.hidden);
  float* const activations = hidden_.data() + chunk.first * hidden;
  for (std::size_t i = 0; i < chunk.size; ++i) {
    float* const out = activations + i * hidden;
    std::copy(net.first_bias.begin(), net.first_bias.end(), out);
    for (const Row row : batch[chunk.first + i]->rows) {
      loops_->add(out, rows_.data() + row * hidden, hidden);
    }
    loops_->clamp(out, hidden);
  }
  const ConstMatrixView activation_view(activations, index(chunk.size), index(hidden));
  chunk.second.noalias() = activation_view * view(net.second_weights, hidden, kSecondUnits);
  chunk.second.rowwise() += view(net.second_bias, 1, kSecondUnits).row(0);
  chunk.second = chunk.second.cwiseMax(0.0f);
  chunk.logit_gradient.noalias() =
      chunk.second * view(net.head_weights, kSecondUnits, kOutcomeCount);
  chunk.logit_gradient.rowwise() += view(net.head_bias, 1, kOutcomeCount).row(0);

  const float share = 1.0f / static_cast<float>(batch.size());
  chunk.loss = 0.0;
  for (std::size_t i = 0; i < chunk.size; ++i) {
    const Sample& sample = *batch[chunk.first + i];
    float* const logits = chunk.logit_gradient.data() + i * kOutcomeCount;
    softmax(logits, sample.possible);
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      const float output = logits[o];
      outputs_[chunk.first + i][o] = output;
      if (sample.target[o] > 0.0f) {
        chunk.loss -= static_cast<double>(sample.target[o] * std::log(std::max(output, 1e-12f)));
      }
      logits[o] = (output - sample.target[o]) * share;
    }
  }
}

void Learner::backward_chunk(Chunk& chunk) {
  const Network& net = state_.weights;
  const auto hidden = static_cast<std::size_t>(net.hidden);
  const float* const activations = hidden_.data() + chunk.first * hidden;
  float* const gradient = hidden_gradient_.data() + chunk.first * hidden;
  chunk.head_weights_gradient.noalias() = chunk.second.transpose() * chunk.logit_gradient;
  chunk.second_gradient.noalias() =
      chunk.logit_gradient * view(net.head_weights, kSecondUnits, kOutcomeCount).transpose();
  chunk.second_gradient =
      (chunk.second.array() > 0.0f).select(chunk.second_gradient.array(), 0.0f).matrix();
  const ConstMatrixView activation_view(activations, index(chunk.size), index(hidden));
  chunk.second_weights_gradient.noalias() = activation_view.transpose() * chunk.second_gradient;
  MatrixView gradient_view(gradient, index(chunk.size), index(hidden));
  gradient_view.noalias() =
      chunk.second_gradient * view(net.second_weights, hidden, kSecondUnits).transpose();
  loops_->mask_clamped(gradient, activations, chunk.size * hidden);
}

/// Sums gradients by row, then carries them to the features, each slice of hidden units on its own.
void Learner::first_layer_gradient(std::span<const Sample* const> batch) {
  const auto hidden = static_cast<std::size_t>(state_.weights.hidden);
  workers_.for_each(hidden / kSlice, [&](std::size_t slice) {
    const std::size_t start = slice * kSlice;
    for (const Row row : used_rows_) {
      std::fill_n(row_gradient_.data() + row * hidden + start, kSlice, 0.0f);
    }
    for (std::size_t f = 0; f < kFeatureCount; ++f) {
      std::fill_n(gradient_.first.data() + f * hidden + start, kSlice, 0.0f);
    }
    std::fill_n(gradient_.first_bias.data() + start, kSlice, 0.0f);
    for (std::size_t i = 0; i < batch.size(); ++i) {
      const float* const from = hidden_gradient_.data() + i * hidden + start;
      loops_->add(gradient_.first_bias.data() + start, from, kSlice);
      for (const Row row : batch[i]->rows) {
        loops_->add(row_gradient_.data() + row * hidden + start, from, kSlice);
      }
    }
    for (const Row row : used_rows_) {
      const float* const from = row_gradient_.data() + row * hidden + start;
      for (const WeightedFeature& entry : features_[row]) {
        float* const out =
            gradient_.first.data() + static_cast<std::size_t>(entry.feature) * hidden + start;
        loops_->add_scaled(out, from, entry.weight, kSlice);
      }
    }
  });
}

/// The dense layers' gradients, chunk after chunk.
void Learner::sum_chunks() {
  const auto hidden = static_cast<std::size_t>(state_.weights.hidden);
  MatrixView second(gradient_.second_weights.data(), index(hidden), kSecondUnits);
  MatrixView second_bias(gradient_.second_bias.data(), 1, kSecondUnits);
  MatrixView heads(gradient_.head_weights.data(), kSecondUnits, kOutcomeCount);
  MatrixView head_bias(gradient_.head_bias.data(), 1, kOutcomeCount);
  second.setZero();
  second_bias.setZero();
  heads.setZero();
  head_bias.setZero();
  for (const Chunk& chunk : chunks_) {
    second += chunk.second_weights_gradient;
    second_bias += chunk.second_gradient.colwise().sum();
    heads += chunk.head_weights_gradient;
    head_bias += chunk.logit_gradient.colwise().sum();
  }
}

void Learner::adam(float learning_rate) {
  const auto t = static_cast<double>(++state_.steps);
  AdamStep step;
  step.learning_rate = learning_rate;
  step.correction1 = static_cast<float>(1.0 / (1.0 - std::pow(0.9, t)));
  step.correction2 = static_cast<float>(1.0 / (1.0 - std::pow(0.999, t)));
  step.shrink = 1.0f - learning_rate * kWeightDecay;
  step.limit = kWeightLimit;
  // Early on the average follows closely, so that young snapshots are not held back by the start.
  step.average_decay = std::min(kAverageDecay, static_cast<float>((t + 1.0) / (t + 10.0)));

  const auto arrays_of = [](Network& network) {
    std::vector<float*> arrays;
    for_each_array(network, [&](const char*, std::vector<float>& values, std::size_t, std::size_t) {
      arrays.push_back(values.data());
    });
    return arrays;
  };
  const auto weights = arrays_of(state_.weights);
  const auto first = arrays_of(state_.first_moment);
  const auto second = arrays_of(state_.second_moment);
  const auto averages = arrays_of(state_.average);
  const auto gradients = arrays_of(gradient_);
  // The first array is the first layer, by far the largest: shared out; the rest is small.
  constexpr std::size_t kPiece = 16384;
  const std::size_t first_size = state_.weights.first.size();
  const std::size_t pieces = (first_size + kPiece - 1) / kPiece;
  workers_.for_each(pieces, [&](std::size_t piece) {
    const std::size_t at = piece * kPiece;
    loops_->adam(weights[0] + at, first[0] + at, second[0] + at, averages[0] + at,
                 gradients[0] + at, step, std::min(kPiece, first_size - at));
  });
  step.shrink = 1.0f;
  std::size_t a = 0;
  for_each_array(state_.weights, [&](const char*, std::vector<float>& values, std::size_t,
                                     std::size_t) {
    if (a > 0) {
      loops_->adam(weights[a], first[a], second[a], averages[a], gradients[a], step, values.size());
    }
    ++a;
  });
}

}  // namespace sixfold
