#include "train/learner.h"

#include <algorithm>
#include <cmath>

#include "train/adam.h"
#include "train/dense.h"
#include "train/softmax.h"

namespace sixfold {
namespace {

constexpr std::size_t kChunkSamples = 64;
constexpr std::size_t kPredictBatch = 4096;

/// Decoupled weight decay of the first layer (Loshchilov I. & Hutter F., Decoupled weight decay
/// regularization, ICLR 2019). At 100,000 games .1 beat .01 by .025 +- .008 points a game; .3 was
/// level with it, 1 lost .018. It also keeps the int16 sums far from their limit.
constexpr float kWeightDecay = 0.1f;

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

LearnerState state_from(const Network& network) {
  const Network zero = zero_network(network.hidden);
  return {network, network, zero, zero, 0};
}

LearnerState initial_state(int hidden, RandomStream& random) {
  Network weights = zero_network(hidden);
  // About 50 features are active; activations start inside (0, 1), the second layer near zero.
  fill_uniform(weights.first, 0.1f, random);
  for (float& bias : weights.first_bias) bias = 0.3f;
  fill_uniform(weights.second_weights, 2.0f / std::sqrt(static_cast<float>(hidden)), random);
  fill_uniform(weights.head_weights, 0.25f, random);
  return state_from(weights);
}

Learner::Learner(LearnerState state, int threads, InstructionSet level)
    : state_(std::move(state)),
      workers_(threads),
      loops_(&training_loops(level)),
      first_layer_(static_cast<std::size_t>(state_.weights.hidden)),
      gradient_(zero_network(state_.weights.hidden)) {}

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

double Learner::forward_backward(std::span<const Sample* const> batch, bool backward) {
  const auto hidden = static_cast<std::size_t>(state_.weights.hidden);
  row_lists_.clear();
  for (const Sample* sample : batch) row_lists_.push_back(&sample->rows);
  first_layer_.bake(row_lists_, state_.weights.first, *loops_, workers_);
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
  first_layer_.gradient(row_lists_, hidden_gradient_, gradient_.first, gradient_.first_bias,
                        *loops_, workers_);
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
      loops_->add(out, first_layer_.row(row), hidden);
    }
    loops_->clamp(out, hidden);
    loops_->square(out, hidden);
  }
  const ConstMatrixView activation_view(activations, index(chunk.size), index(hidden));
  chunk.second.noalias() = activation_view * view(net.second_weights, hidden, kSecondUnits);
  chunk.second.rowwise() += view(net.second_bias, 1, kSecondUnits).row(0);
  chunk.second = chunk.second.cwiseMax(kLeak * chunk.second);
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
      (chunk.second.array() > 0.0f)
          .select(chunk.second_gradient.array(), kLeak * chunk.second_gradient.array())
          .matrix();
  const ConstMatrixView activation_view(activations, index(chunk.size), index(hidden));
  chunk.second_weights_gradient.noalias() = activation_view.transpose() * chunk.second_gradient;
  MatrixView gradient_view(gradient, index(chunk.size), index(hidden));
  gradient_view.noalias() =
      chunk.second_gradient * view(net.second_weights, hidden, kSecondUnits).transpose();
  loops_->mask_clamped(gradient, activations, chunk.size * hidden);
  loops_->through_square(gradient, activations, chunk.size * hidden);
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
  std::vector<TrainedArray> arrays =
      trained_arrays(state_.weights, state_.first_moment, state_.second_moment, state_.average,
                     gradient_, [](auto& network, auto visit) { for_each_array(network, visit); });
  arrays.front().decay = kWeightDecay;
  adam_step(arrays, ++state_.steps, learning_rate, *loops_, workers_);
}

}  // namespace sixfold
