/// A network in integers: int16 rows, int16 second layer, floats only in the heads.
///
/// Overflow: the second layer's scale is chosen for each unit so that activations at their highest,
/// kSquareSteps, times the magnitudes of all its weights, rounding included, stay within int32.
#pragma once

#include "evaluator/kernels.h"
#include "evaluator/network.h"
#include "evaluator/quantised_rows.h"

namespace sixfold {

/// Immutable after construction; safe to use from any thread.
class QuantisedNetwork {
 public:
  /// Throws InputError for weights that are not finite or don't fit into integers
  /// (evaluator/quantised_rows.h). `name` is for that message.
  /// `cube` may be null. REQUIRES: it has as many hidden units.
  QuantisedNetwork(const Network& network, const char* name, const CubeHead* cube = nullptr);

  [[nodiscard]] const KernelWeights& weights() const noexcept { return weights_; }
  /// The first layer's sums of a position with nothing on the board.
  [[nodiscard]] const Accumulator& empty() const noexcept { return rows_.empty(); }

 private:
  void quantise_second(const Network& network);
  void quantise_cube(const CubeHead& head, const char* name);

  QuantisedRows rows_;
  AlignedArray<std::int16_t> second_;
  std::vector<float> second_scale_;
  AlignedArray<float> second_bias_;
  AlignedArray<float> heads_;
  AlignedArray<std::int16_t> lives_;
  std::vector<float> shapes_;
  KernelWeights weights_;
};

/// Head weights, units x O, with rows of kHeadWidth, zeros from O on, and `further` rows of zeros.
[[nodiscard]] AlignedArray<float> wide_rows(const std::vector<float>& weights, std::size_t further);

}  // namespace sixfold
