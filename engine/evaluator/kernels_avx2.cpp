#include <immintrin.h>

#include <cstring>

#include "evaluator/kernel_levels.h"

#pragma GCC push_options
#pragma GCC target("avx2")

namespace sixfold {
namespace {

constexpr std::size_t kVectorBytes = 32;

/// sums[s] = inputs . weights[:, s] for kSecondUnits units. Products are added in pairs as int16,
/// which cannot saturate: inputs go to 127 only.
static_assert(2 * 127 * 128 <= 32767);
inline void dense(const std::int8_t* weights, const std::uint8_t* inputs, std::size_t size,
                  std::int32_t* sums) noexcept {
  constexpr std::size_t kRegisters = kSecondUnits / 8;
  const __m256i ones = _mm256_set1_epi16(1);
  __m256i total[kRegisters] = {};
  const auto* block = reinterpret_cast<const __m256i*>(weights);
  for (std::size_t h = 0; h < size; h += 4, block += kRegisters) {
    std::int32_t four;
    std::memcpy(&four, inputs + h, sizeof four);
    if (four == 0) continue;
    const __m256i all = _mm256_set1_epi32(four);
    for (std::size_t r = 0; r < kRegisters; ++r) {
      const __m256i pairs = _mm256_maddubs_epi16(all, _mm256_load_si256(block + r));
      total[r] = _mm256_add_epi32(total[r], _mm256_madd_epi16(pairs, ones));
    }
  }
  for (std::size_t r = 0; r < kRegisters; ++r) {
    _mm256_store_si256(reinterpret_cast<__m256i*>(sums) + r, total[r]);
  }
}

/// sums[c][s] = activations of child c . second[:, s]
inline void second_layer(const KernelWeights& weights, const std::uint8_t* activations,
                         std::size_t children, SecondSums* sums) noexcept {
  for (std::size_t c = 0; c < children; ++c) {
    dense(weights.second, activations + c * weights.first.width, weights.first.width,
          sums[c].of_unit.data());
  }
}

#include "evaluator/kernel_body.inc"
#include "evaluator/luck_kernel_body.inc"

}  // namespace

const Kernels kAvx2Kernels{InstructionSet::kAvx2, accumulate, forward, luck};

}  // namespace sixfold

#pragma GCC pop_options
