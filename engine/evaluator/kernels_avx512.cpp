#include <cstring>

#include "evaluator/kernel_levels.h"

#include <immintrin.h>

#pragma GCC push_options
#pragma GCC target("avx512f,avx512bw,avx512vl,avx512dq,avx512vnni,prefer-vector-width=512")

namespace sixfold {
namespace {

constexpr std::size_t kVectorBytes = 64;

/// sums[s] = activations . second[:, s]. Four chains of additions, so that none waits for another.
inline void second_layer(const KernelWeights& weights, const std::uint8_t* activations,
                         std::int32_t* sums) noexcept {
  constexpr std::size_t kChains = 4;
  __m512i low[kChains] = {};
  __m512i high[kChains] = {};
  const auto* block = reinterpret_cast<const __m512i*>(weights.second);
  for (std::size_t h = 0; h < weights.hidden; h += 4 * kChains) {
    for (std::size_t chain = 0; chain < kChains; ++chain, block += 2) {
      std::int32_t four;
      std::memcpy(&four, activations + h + 4 * chain, sizeof four);
      const __m512i inputs = _mm512_set1_epi32(four);
      low[chain] = _mm512_dpbusd_epi32(low[chain], inputs, _mm512_load_si512(block));
      high[chain] = _mm512_dpbusd_epi32(high[chain], inputs, _mm512_load_si512(block + 1));
    }
  }
  _mm512_store_si512(sums, _mm512_add_epi32(_mm512_add_epi32(low[0], low[1]),
                                            _mm512_add_epi32(low[2], low[3])));
  _mm512_store_si512(sums + 16, _mm512_add_epi32(_mm512_add_epi32(high[0], high[1]),
                                                 _mm512_add_epi32(high[2], high[3])));
}

#include "evaluator/kernel_body.inc"

}  // namespace

const Kernels kAvx512Kernels{InstructionSet::kAvx512, accumulate, forward};

}  // namespace sixfold

#pragma GCC pop_options
