#include <cstring>

#include "evaluator/kernel_levels.h"

namespace sixfold {
namespace {

constexpr std::size_t kVectorBytes = 16;

/// sums[s] = inputs . weights[:, s] for kSecondUnits units
inline void dense(const std::int8_t* weights, const std::uint8_t* inputs, std::size_t size,
                  std::int32_t* sums) noexcept {
  for (std::size_t s = 0; s < kSecondUnits; ++s) sums[s] = 0;
  for (std::size_t h = 0; h < size; h += 4) {
    const std::int8_t* const block = weights + h * kSecondUnits;
    for (std::size_t s = 0; s < kSecondUnits; ++s) {
      for (std::size_t i = 0; i < 4; ++i) sums[s] += inputs[h + i] * block[4 * s + i];
    }
  }
}

using Register = std::int16_t __attribute__((vector_size(kVectorBytes), may_alias));

/// values^2 / 2^18, rounded
inline Register rounded_squares(const Register& values) noexcept {
  Register squares;
  for (std::size_t i = 0; i < kVectorBytes / sizeof values[0]; ++i) {
    squares[i] = static_cast<std::int16_t>((values[i] * (values[i] >> 3) + (1 << 14)) >> 15);
  }
  return squares;
}

/// sums[s] = activations . second[:, s]; with the cube the same for the lives
template <bool kWithCube>
inline void second_layer(const KernelWeights& weights, const std::int16_t* activations,
                         SecondSums& sums, LifeSums* lives) noexcept {
  sums = {};
  if constexpr (kWithCube) *lives = {};
  for (std::size_t h = 0; h < weights.first.width; h += 2) {
    const int first = activations[h];
    const int other = activations[h + 1];
    if ((first | other) == 0) continue;
    const std::int16_t* const pairs = weights.second + h * kSecondUnits;
    for (std::size_t s = 0; s < kSecondUnits; ++s) {
      sums.of_unit[s] += first * pairs[2 * s] + other * pairs[2 * s + 1];
    }
    if constexpr (kWithCube) {
      const std::int16_t* const of_lives = weights.cube.hidden + h * kLifeLanes;
      for (std::size_t l = 0; l < kLifeCount; ++l) {
        lives->of_life[l] += first * of_lives[2 * l] + other * of_lives[2 * l + 1];
      }
    }
  }
}

#include "evaluator/kernel_body.inc"
#include "evaluator/luck_kernel_body.inc"

}  // namespace

const Kernels kScalarKernels{InstructionSet::kScalar, accumulate, forward, forward_with_cube, luck};

}  // namespace sixfold
