/// Gradient descent on one luck network: positions with the luck of all their rolls in, better
/// weights out.
///
/// The loss of a position is the mean over its 36 dice outcomes of the squared error of luck as
/// equity for money, plus that of each outcome: the first is what a rollout's cost is made of, the
/// second keeps all six outcomes controlled. Adam and moving averages as for evaluators. Results do
/// not depend on the number of threads.
/// Shapes: B batch, U roll units, H hidden, K facts, O outcomes.
#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <vector>

#include "base/workers.h"
#include "evaluator/luck_network.h"
#include "rollout/random_stream.h"
#include "train/first_layer.h"
#include "train/loops.h"

namespace sixfold {

struct LuckSample {
  Position position;
  /// What each roll, in the order of kRolls, adds to the chance of each outcome.
  std::array<std::array<float, kOutcomeCount>, kRollCount> luck;
};

/// Everything that changes while a luck network is trained.
struct LuckLearnerState {
  LuckNetwork weights;
  LuckNetwork average;  ///< Moving average of the weights.
  LuckNetwork first_moment;
  LuckNetwork second_moment;
  std::uint64_t steps = 0;  ///< Batches learnt.
  friend bool operator==(const LuckLearnerState&, const LuckLearnerState&) = default;
};

/// Small random weights. REQUIRES: as zero_luck_network.
[[nodiscard]] LuckLearnerState initial_luck_state(int units, int hidden, RandomStream& random);

/// Sums over positions of mean squares over the dice: luck as equity, and what a network left of
/// it.
struct LuckSquares {
  double luck = 0.0;
  double error = 0.0;
  double loss = 0.0;  ///< What is minimised, outcomes included.

  LuckSquares& operator+=(const LuckSquares& other) noexcept {
    luck += other.luck;
    error += other.error;
    loss += other.loss;
    return *this;
  }
  /// The share of luck's variance that the network explains (R squared).
  [[nodiscard]] double explained() const noexcept { return luck > 0.0 ? 1.0 - error / luck : 0.0; }
};

/// Not thread-safe from outside; uses `threads` threads inside.
class LuckLearner {
 public:
  /// The level changes the speed, never the result. REQUIRES: is_available(level).
  LuckLearner(LuckLearnerState state, int threads, InstructionSet level = best_instruction_set());
  LuckLearner(LuckLearner&&) noexcept;
  ~LuckLearner();

  /// One step on the batch's mean loss; returns the sums before it. REQUIRES: not empty.
  LuckSquares learn(std::span<const LuckSample* const> batch, float learning_rate);
  /// The gradient of the mean loss with respect to every weight, for tests.
  [[nodiscard]] LuckNetwork gradient(std::span<const LuckSample* const> batch);

  [[nodiscard]] const LuckLearnerState& state() const noexcept { return state_; }

 private:
  struct Chunk;
  struct Case;

  LuckSquares forward_backward(std::span<const LuckSample* const> batch);
  void forward_backward_chunk(std::span<const LuckSample* const> batch, Chunk& chunk);
  void sum_rows(Chunk& chunk);
  void activate_rolls(Case& one, const float* context);
  LuckSquares errors(const LuckSample& sample, Case& one, const float* gates);
  void carry_back(Case& one, Chunk& chunk, std::size_t place);
  void fact_gradient();
  void sum_chunks();

  LuckLearnerState state_;
  Workers workers_;
  const TrainingLoops* loops_;
  FirstLayer first_layer_;
  std::vector<RowList> rows_;              ///< Of the batch.
  std::vector<const RowList*> row_lists_;  ///< The same.
  std::vector<float> outcome_rows_;        ///< O x U, the outcome weights transposed.
  std::vector<float> sums_;                ///< B x (U + H); hidden units after the activation.
  std::vector<float> sums_gradient_;       ///< B x (U + H), before the activation.
  std::vector<Case> cases_;
  std::vector<Chunk> chunks_;
  LuckNetwork gradient_;
  double share_ = 0.0;  ///< Of one position in the batch's mean.
};

}  // namespace sixfold
