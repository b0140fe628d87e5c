#include <immintrin.h>

#include <cstring>

#include "evaluator/kernel_levels.h"

#pragma GCC push_options
#pragma GCC target("avx512f,avx512bw,avx512vl,avx512dq,avx512vnni,prefer-vector-width=512")

namespace sixfold {
namespace {

constexpr std::size_t kVectorBytes = 64;

/// sums[s] = activations . second[:, s]. Two chains of additions a register, so that few wait.
inline void second_layer(const KernelWeights& weights, const std::uint8_t* activations,
                         std::int32_t* sums) noexcept {
  const auto four_inputs = [&](std::size_t h) {
    std::int32_t four;
    std::memcpy(&four, activations + h, sizeof four);
    return _mm512_set1_epi32(four);
  };
  __m512i low_even = _mm512_setzero_si512();
  __m512i high_even = _mm512_setzero_si512();
  __m512i low_odd = _mm512_setzero_si512();
  __m512i high_odd = _mm512_setzero_si512();
  const auto* block = reinterpret_cast<const __m512i*>(weights.second);
  for (std::size_t h = 0; h < weights.hidden; h += 8, block += 4) {
    const __m512i even = four_inputs(h);
    const __m512i odd = four_inputs(h + 4);
    low_even = _mm512_dpbusd_epi32(low_even, even, block[0]);
    high_even = _mm512_dpbusd_epi32(high_even, even, block[1]);
    low_odd = _mm512_dpbusd_epi32(low_odd, odd, block[2]);
    high_odd = _mm512_dpbusd_epi32(high_odd, odd, block[3]);
  }
  _mm512_store_si512(sums, _mm512_add_epi32(low_even, low_odd));
  _mm512_store_si512(sums + 16, _mm512_add_epi32(high_even, high_odd));
}

#include "evaluator/kernel_body.inc"

}  // namespace

const Kernels kAvx512Kernels{InstructionSet::kAvx512, accumulate, forward};

}  // namespace sixfold

#pragma GCC pop_options
