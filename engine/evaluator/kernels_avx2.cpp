#ifdef __x86_64__
#include <immintrin.h>

#include <cstring>

#include "evaluator/kernel_levels.h"

#pragma GCC push_options
#pragma GCC target("avx2,bmi")

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

using Register = __m256i;

/// Bit i: the pair of activations 2i, 2i + 1 is not zero; for 64 activations.
inline std::uint64_t active_pairs(const std::int16_t* activations) noexcept {
  std::uint32_t none = 0;
  for (std::size_t i = 0; i < 4; ++i) {
    const __m256i eight = _mm256_load_si256(reinterpret_cast<const __m256i*>(activations) + i);
    const __m256i zero = _mm256_cmpeq_epi32(eight, _mm256_setzero_si256());
    none |= static_cast<std::uint32_t>(_mm256_movemask_ps(_mm256_castsi256_ps(zero))) << (8 * i);
  }
  return ~none;
}

inline __m256i in_all_lanes(std::int32_t pair) noexcept { return _mm256_set1_epi32(pair); }

/// total + products of pairs, added in pairs
inline __m256i multiply_add(__m256i total, __m256i pair, __m256i weights) noexcept {
  return _mm256_add_epi32(total, _mm256_madd_epi16(pair, weights));
}

/// values^2 / 2^18, rounded
inline __m256i rounded_squares(__m256i values) noexcept {
  return _mm256_mulhrs_epi16(values, _mm256_srai_epi16(values, 3));
}

#include "evaluator/active_pairs_body.inc"
#include "evaluator/kernel_body.inc"
#include "evaluator/luck_kernel_body.inc"

}  // namespace

const Kernels kAvx2Kernels{InstructionSet::kAvx2, accumulate, forward, forward_with_cube, luck};

}  // namespace sixfold

#pragma GCC pop_options
#endif
