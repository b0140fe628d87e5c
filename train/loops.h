/// The trainer's elementwise loops at each instruction-set level. ARM has one: what the compiler
/// makes of plain loops there uses neon.
///
/// Each element is computed by the same operations at every level (no contraction, no reordering),
/// so the level changes the speed and never the result.
#pragma once

#include <cstddef>

#include "evaluator/kernels.h"

namespace sixfold {

/// Adam's numbers for one step.
struct AdamStep {
  float learning_rate;
  float correction1;    ///< 1 / (1 - beta1^t)
  float correction2;    ///< 1 / (1 - beta2^t)
  float shrink;         ///< what a weight is multiplied by first (decoupled weight decay)
  float limit;          ///< weights are kept within +-limit
  float average_decay;  ///< share that the moving average keeps
};

struct TrainingLoops {
  /// out += factor * in
  void (*add_scaled)(float* out, const float* in, float factor, std::size_t size) noexcept;
  /// out += in
  void (*add)(float* out, const float* in, std::size_t size) noexcept;
  /// values = clamp(values, 0, 1)
  void (*clamp)(float* values, std::size_t size) noexcept;
  /// values = values * values
  void (*square)(float* values, std::size_t size) noexcept;
  /// gradient = 0 where the activation is at either end of its range
  void (*mask_clamped)(float* gradient, const float* activations, std::size_t size) noexcept;
  /// gradient *= 2 * sqrt(squares): from that of squares to that of what was squared
  void (*through_square)(float* gradient, const float* squares, std::size_t size) noexcept;
  /// The scalar product, summed in sixteen parts. REQUIRES: size is a multiple of 16.
  float (*dot)(const float* a, const float* b, std::size_t size) noexcept;
  /// out = gates * (units - mean)
  void (*gated_deviation)(float* out, const float* units, const float* mean, const float* gates,
                          std::size_t size) noexcept;
  /// gate_gradient += slope * (units - mean); slope *= gates
  void (*gate_slope)(float* gate_gradient, float* slope, const float* units, const float* mean,
                     const float* gates, std::size_t size) noexcept;
  /// One step for `size` weights with their moments and moving average.
  void (*adam)(float* weight, float* first, float* second, float* average, const float* gradient,
               const AdamStep& step, std::size_t size) noexcept;
};

/// REQUIRES: is_available(level).
[[nodiscard]] const TrainingLoops& training_loops(InstructionSet level) noexcept;

}  // namespace sixfold
