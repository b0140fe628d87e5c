#include "train/adam.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace sixfold {
namespace {

constexpr float kAverageDecay = 0.9995f;
/// Bound on every weight: dense layers are stored in int8, where an outlier coarsens the rest.
constexpr float kWeightLimit = 2.0f;
/// Weights that one thread takes at a time.
constexpr std::size_t kPiece = 16384;

}  // namespace

void adam_step(const std::vector<TrainedArray>& arrays, std::uint64_t number, float learning_rate,
               const TrainingLoops& loops, Workers& workers) {
  const auto t = static_cast<double>(number);
  AdamStep step;
  step.learning_rate = learning_rate;
  step.correction1 = static_cast<float>(1.0 / (1.0 - std::pow(0.9, t)));
  step.correction2 = static_cast<float>(1.0 / (1.0 - std::pow(0.999, t)));
  step.shrink = 1.0f;
  step.limit = kWeightLimit;
  // Early on the average follows closely, so that young snapshots are not held back by the start.
  step.average_decay = std::min(kAverageDecay, static_cast<float>((t + 1.0) / (t + 10.0)));

  struct Piece {
    const TrainedArray* array;
    std::size_t at;
  };
  std::vector<Piece> pieces;
  for (const TrainedArray& array : arrays) {
    for (std::size_t at = 0; at < array.weights->size(); at += kPiece)
      pieces.push_back({&array, at});
  }
  workers.for_each(pieces.size(), [&](std::size_t i) {
    const auto& [array, at] = pieces[i];
    AdamStep own = step;
    own.shrink = 1.0f - learning_rate * array->decay;
    loops.adam(array->weights->data() + at, array->first_moment->data() + at,
               array->second_moment->data() + at, array->average->data() + at,
               array->gradient->data() + at, own, std::min(kPiece, array->weights->size() - at));
  });
}

float rate_after(double share, float first, float last) noexcept {
  const auto fall = static_cast<float>(0.5 * (1.0 + std::cos(std::numbers::pi * share)));
  return last + (first - last) * fall;
}

}  // namespace sixfold
