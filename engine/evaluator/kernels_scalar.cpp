#include <cstring>

#include "evaluator/kernel_levels.h"

namespace sixfold {
namespace {

constexpr std::size_t kVectorBytes = 16;

/// sums[c][s] = activations of child c . second[:, s]
inline void second_layer(const KernelWeights& weights, const std::uint8_t* activations,
                         std::size_t children, SecondSums* sums) noexcept {
  for (std::size_t c = 0; c < children; ++c, activations += weights.hidden) {
    std::int32_t* const sum = sums[c].of_unit.data();
    for (std::size_t s = 0; s < kSecondUnits; ++s) sum[s] = 0;
    for (std::size_t h = 0; h < weights.hidden; h += 4) {
      const std::int8_t* const block = weights.second + h * kSecondUnits;
      for (std::size_t s = 0; s < kSecondUnits; ++s) {
        for (std::size_t i = 0; i < 4; ++i) sum[s] += activations[h + i] * block[4 * s + i];
      }
    }
  }
}

#include "evaluator/kernel_body.inc"

}  // namespace

const Kernels kScalarKernels{InstructionSet::kScalar, accumulate, forward};

}  // namespace sixfold
