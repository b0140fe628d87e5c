#ifdef __x86_64__
#include <immintrin.h>

#include <cstring>

#include "evaluator/kernel_levels.h"

#pragma GCC push_options
#pragma GCC target("avx512f,avx512bw,avx512vl,avx512dq,avx512vnni,bmi,prefer-vector-width=512")

namespace sixfold {
namespace {

constexpr std::size_t kVectorBytes = 64;

using Register = __m512i;

/// Bit i: the pair of activations 2i, 2i + 1 is not zero; for 64 activations.
inline std::uint64_t active_pairs(const std::int16_t* activations) noexcept {
  const __m512i first = _mm512_load_si512(activations);
  const __m512i other = _mm512_load_si512(activations + 32);
  return _mm512_test_epi32_mask(first, first) |
         static_cast<std::uint64_t>(_mm512_test_epi32_mask(other, other)) << 16;
}

inline __m512i in_all_lanes(std::int32_t pair) noexcept { return _mm512_set1_epi32(pair); }

/// total + products of pairs, added in pairs. Not the one instruction that does both: sums would
/// wait for one another's products.
inline __m512i multiply_add(__m512i total, __m512i pair, __m512i weights) noexcept {
  return _mm512_add_epi32(total, _mm512_madd_epi16(pair, weights));
}

/// sums[s] = inputs . weights[:, s] for kSecondUnits units, in two chains a register so that none
/// waits for another. REQUIRES: size is a multiple of 8.
inline void dense(const std::int8_t* weights, const std::uint8_t* inputs, std::size_t size,
                  std::int32_t* sums) noexcept {
  __m512i low[2] = {};
  __m512i high[2] = {};
  const auto* block = reinterpret_cast<const __m512i*>(weights);
  for (std::size_t h = 0; h < size; h += 8) {
    for (std::size_t k = 0; k < 2; ++k, block += 2) {
      std::int32_t four;
      std::memcpy(&four, inputs + h + 4 * k, sizeof four);
      const __m512i all = _mm512_set1_epi32(four);
      low[k] = _mm512_dpbusd_epi32(low[k], all, block[0]);
      high[k] = _mm512_dpbusd_epi32(high[k], all, block[1]);
    }
  }
  _mm512_store_si512(sums, _mm512_add_epi32(low[0], low[1]));
  _mm512_store_si512(sums + 16, _mm512_add_epi32(high[0], high[1]));
}

/// values^2 / 2^18, rounded
inline __m512i rounded_squares(__m512i values) noexcept {
  return _mm512_mulhrs_epi16(values, _mm512_srai_epi16(values, 3));
}

#include "evaluator/active_pairs_body.inc"
#include "evaluator/kernel_body.inc"
#include "evaluator/luck_kernel_body.inc"

}  // namespace

const Kernels kAvx512Kernels{InstructionSet::kAvx512, accumulate, forward, forward_with_cube, luck};

}  // namespace sixfold

#pragma GCC pop_options
#endif
