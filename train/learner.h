/// Gradient descent on one network: batches in, better weights out.
///
/// Softmax over the outcomes that are possible, cross entropy against a target distribution, Adam
/// and an exponential moving average of the weights for snapshots (train/adam.h), a sparse first
/// layer (train/first_layer.h).
///
/// Results do not depend on the number of threads: samples are worked in fixed chunks, the first
/// layer in fixed slices of hidden units, and sums are taken in a fixed order.
/// Shapes: B batch, R rows, H hidden, S second units, O outcomes.
#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <vector>

#include "base/workers.h"
#include "encoding/features.h"
#include "evaluator/network.h"
#include "rollout/random_stream.h"
#include "train/first_layer.h"
#include "train/loops.h"

namespace sixfold {

using TargetOutcomes = std::array<float, kOutcomeCount>;

struct Sample {
  RowList rows;
  unsigned possible = 0;  ///< Bit i: outcome i is not excluded by the rules.
  TargetOutcomes target{};
};

/// Everything that changes while a network is trained.
struct LearnerState {
  Network weights;
  Network average;          ///< Moving average of the weights.
  Network first_moment;     ///< Adam's m
  Network second_moment;    ///< Adam's v
  std::uint64_t steps = 0;  ///< Batches learnt.
  friend bool operator==(const LearnerState&, const LearnerState&) = default;
};

/// The state of a run that goes on from a network: its weights, no moments.
[[nodiscard]] LearnerState state_from(const Network& network);
/// Small random weights. REQUIRES: hidden is a multiple of kHiddenStep, at most kMaxHidden.
[[nodiscard]] LearnerState initial_state(int hidden, RandomStream& random);

/// Not thread-safe from outside; uses `threads` threads inside.
class Learner {
 public:
  /// The level changes the speed, never the result. REQUIRES: is_available(level).
  Learner(LearnerState state, int threads, InstructionSet level = best_instruction_set());
  Learner(Learner&&) noexcept;
  ~Learner();

  /// The network's output for each sample, from the current weights.
  [[nodiscard]] std::vector<TargetOutcomes> predict(std::span<const Sample> samples);

  /// One step of Adam on the batch's mean loss; returns that mean (nats). REQUIRES: not empty.
  double learn(std::span<const Sample* const> batch, float learning_rate);

  /// The gradient of the mean loss with respect to every weight, for tests.
  [[nodiscard]] Network gradient(std::span<const Sample* const> batch);

  [[nodiscard]] const LearnerState& state() const noexcept { return state_; }

 private:
  struct Chunk;

  double forward_backward(std::span<const Sample* const> batch, bool backward);
  void forward_chunk(std::span<const Sample* const> batch, Chunk& chunk);
  void backward_chunk(Chunk& chunk);
  void sum_chunks();
  void adam(float learning_rate);

  LearnerState state_;
  Workers workers_;
  const TrainingLoops* loops_;
  FirstLayer first_layer_;
  std::vector<const RowList*> row_lists_;  ///< Of the batch.
  std::vector<float> hidden_;              ///< B x H, activations
  std::vector<float> hidden_gradient_;     ///< B x H, before the activation
  std::vector<TargetOutcomes> outputs_;
  std::vector<Chunk> chunks_;
  Network gradient_;
};

}  // namespace sixfold
