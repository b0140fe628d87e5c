#include <immintrin.h>

#include <algorithm>
#include <cstring>

#include "evaluator/kernel_levels.h"

#pragma GCC push_options
#pragma GCC target("avx512f,avx512bw,avx512vl,avx512dq,avx512vnni,prefer-vector-width=512")

namespace sixfold {
namespace {

constexpr std::size_t kVectorBytes = 64;

/// sums[c][s] = activations of child c . second[:, s]. Four children share each load of weights and
/// keep eight sums going, so that none waits for another; the last child fills up the last four.
inline void second_layer(const KernelWeights& weights, const std::uint8_t* activations,
                         std::size_t children, SecondSums* sums) noexcept {
  constexpr std::size_t kTogether = 4;
  for (std::size_t first = 0; first < children; first += kTogether) {
    const std::uint8_t* inputs[kTogether];
    for (std::size_t k = 0; k < kTogether; ++k) {
      inputs[k] = activations + std::min(first + k, children - 1) * weights.first.width;
    }
    __m512i low[kTogether] = {};
    __m512i high[kTogether] = {};
    const auto* block = reinterpret_cast<const __m512i*>(weights.second);
    for (std::size_t h = 0; h < weights.first.width; h += 4, block += 2) {
      for (std::size_t k = 0; k < kTogether; ++k) {
        std::int32_t four;
        std::memcpy(&four, inputs[k] + h, sizeof four);
        const __m512i all = _mm512_set1_epi32(four);
        low[k] = _mm512_dpbusd_epi32(low[k], all, block[0]);
        high[k] = _mm512_dpbusd_epi32(high[k], all, block[1]);
      }
    }
    for (std::size_t k = 0; k < std::min(kTogether, children - first); ++k) {
      _mm512_store_si512(sums[first + k].of_unit.data(), low[k]);
      _mm512_store_si512(sums[first + k].of_unit.data() + 16, high[k]);
    }
  }
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

#include "evaluator/kernel_body.inc"
#include "evaluator/luck_kernel_body.inc"

}  // namespace

const Kernels kAvx512Kernels{InstructionSet::kAvx512, accumulate, forward, luck};

}  // namespace sixfold

#pragma GCC pop_options
