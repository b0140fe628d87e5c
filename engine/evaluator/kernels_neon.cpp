#ifdef __aarch64__
#include <arm_neon.h>

#include <cstring>

#include "evaluator/kernel_levels.h"

namespace sixfold {
namespace {

constexpr std::size_t kVectorBytes = 16;

/// sums[s] = inputs . weights[:, s] for kSecondUnits units. Inputs go to 127 only, so they may be
/// read as signed, and products added in pairs as int16.
static_assert(2 * 127 * 128 <= 32767);
inline void dense(const std::int8_t* weights, const std::uint8_t* inputs, std::size_t size,
                  std::int32_t* sums) noexcept {
  constexpr std::size_t kRegisters = kSecondUnits / 4;
  int32x4_t total[kRegisters] = {};
  for (std::size_t h = 0; h < size; h += 4) {
    std::int32_t four;
    std::memcpy(&four, inputs + h, sizeof four);
    if (four == 0) continue;
    const int8x16_t all = vreinterpretq_s8_s32(vdupq_n_s32(four));
    for (std::size_t r = 0; r < kRegisters; ++r) {
      const int8x16_t block = vld1q_s8(weights + h * kSecondUnits + 16 * r);
      const int16x8_t low = vmull_s8(vget_low_s8(all), vget_low_s8(block));
      total[r] = vpadalq_s16(total[r], vpaddq_s16(low, vmull_high_s8(all, block)));
    }
  }
  for (std::size_t r = 0; r < kRegisters; ++r) vst1q_s32(sums + 4 * r, total[r]);
}

using Register = int16x8_t;

/// values^2 / 2^18, rounded
inline Register rounded_squares(const Register& values) noexcept {
  return vqrdmulhq_s16(values, vshrq_n_s16(values, 3));
}

/// sums[s] = activations . second[:, s]; with the cube the same for the lives
template <bool kWithCube>
inline void second_layer(const KernelWeights& weights, const std::int16_t* activations,
                         SecondSums& sums, LifeSums* lives) noexcept {
  static_assert(kLifeCount == 4);
  constexpr std::size_t kRegisters = kSecondUnits / 4;
  int32x4_t total[kRegisters] = {};
  int32x4_t life = {};
  for (std::size_t h = 0; h < weights.first.width; h += 2) {
    const std::int16_t first = activations[h];
    const std::int16_t other = activations[h + 1];
    if ((first | other) == 0) continue;
    const std::int16_t* const pairs = weights.second + h * kSecondUnits;
    for (std::size_t r = 0; r < kRegisters; r += 2) {
      const int16x8x2_t units = vld2q_s16(pairs + 8 * r);
      total[r] = vmlal_n_s16(total[r], vget_low_s16(units.val[0]), first);
      total[r] = vmlal_n_s16(total[r], vget_low_s16(units.val[1]), other);
      total[r + 1] = vmlal_high_n_s16(total[r + 1], units.val[0], first);
      total[r + 1] = vmlal_high_n_s16(total[r + 1], units.val[1], other);
    }
    if constexpr (kWithCube) {
      const int16x4x2_t of_lives = vld2_s16(weights.cube.hidden + h * kLifeLanes);
      life = vmlal_n_s16(life, of_lives.val[0], first);
      life = vmlal_n_s16(life, of_lives.val[1], other);
    }
  }
  for (std::size_t r = 0; r < kRegisters; ++r) vst1q_s32(sums.of_unit.data() + 4 * r, total[r]);
  if constexpr (kWithCube) vst1q_s32(lives->of_life.data(), life);
}

#include "evaluator/kernel_body.inc"
#include "evaluator/luck_kernel_body.inc"

}  // namespace

const Kernels kNeonKernels{InstructionSet::kNeon, accumulate, forward, forward_with_cube, luck};

}  // namespace sixfold
#endif
