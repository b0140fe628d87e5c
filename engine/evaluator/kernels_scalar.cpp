#include <cstring>

#include "evaluator/kernel_levels.h"

namespace sixfold {
namespace {

constexpr std::size_t kVectorBytes = 16;

/// sums[s] = activations . second[:, s]
inline void second_layer(const KernelWeights& weights, const std::uint8_t* activations,
                         std::int32_t* sums) noexcept {
  for (std::size_t s = 0; s < kSecondUnits; ++s) sums[s] = 0;
  for (std::size_t h = 0; h < weights.hidden; h += 4) {
    const std::int8_t* const block = weights.second + h * kSecondUnits;
    for (std::size_t s = 0; s < kSecondUnits; ++s) {
      for (std::size_t i = 0; i < 4; ++i) sums[s] += activations[h + i] * block[4 * s + i];
    }
  }
}

#include "evaluator/kernel_body.inc"

}  // namespace

const Kernels kScalarKernels{InstructionSet::kScalar, accumulate, forward};

}  // namespace sixfold
