#include <immintrin.h>

#include <cstring>

#include "evaluator/kernel_levels.h"

#pragma GCC push_options
#pragma GCC target("avx2")

namespace sixfold {
namespace {

constexpr std::size_t kVectorBytes = 32;

/// sums[c][s] = activations of child c . second[:, s]. Products are added in pairs as int16, which
/// cannot saturate: activations go to 127 only.
static_assert(2 * 127 * 128 <= 32767);
inline void second_layer(const KernelWeights& weights, const std::uint8_t* activations,
                         std::size_t children, SecondSums* sums) noexcept {
  constexpr std::size_t kRegisters = kSecondUnits / 8;
  const __m256i ones = _mm256_set1_epi16(1);
  for (std::size_t c = 0; c < children; ++c, activations += weights.hidden) {
    __m256i total[kRegisters] = {};
    const auto* block = reinterpret_cast<const __m256i*>(weights.second);
    for (std::size_t h = 0; h < weights.hidden; h += 4, block += kRegisters) {
      std::int32_t four;
      std::memcpy(&four, activations + h, sizeof four);
      if (four == 0) continue;
      const __m256i inputs = _mm256_set1_epi32(four);
      for (std::size_t r = 0; r < kRegisters; ++r) {
        const __m256i pairs = _mm256_maddubs_epi16(inputs, _mm256_load_si256(block + r));
        total[r] = _mm256_add_epi32(total[r], _mm256_madd_epi16(pairs, ones));
      }
    }
    for (std::size_t r = 0; r < kRegisters; ++r) {
      _mm256_store_si256(reinterpret_cast<__m256i*>(sums[c].of_unit.data()) + r, total[r]);
    }
  }
}

#include "evaluator/kernel_body.inc"

}  // namespace

const Kernels kAvx2Kernels{InstructionSet::kAvx2, accumulate, forward};

}  // namespace sixfold

#pragma GCC pop_options
