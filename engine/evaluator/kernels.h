/// The inner loops of the quantised network at three instruction-set levels, chosen at run time.
///
/// All levels give the same bits: integers wrap or are exact, and the floats after the last integer
/// layer are computed by the same operations in the same order (compiled with -ffp-contract=off).
#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <string_view>

#include "encoding/features.h"
#include "evaluator/network.h"

namespace sixfold {

enum class InstructionSet : std::uint8_t { kScalar, kAvx2, kAvx512 };

inline constexpr std::array<std::string_view, 3> kInstructionSetNames{"scalar", "avx2", "avx512"};

[[nodiscard]] bool is_available(InstructionSet level) noexcept;
[[nodiscard]] InstructionSet best_instruction_set() noexcept;
/// The level of that name; throws InputError for an unknown or absent one.
[[nodiscard]] InstructionSet instruction_set_named(std::string_view name);

inline constexpr std::size_t kCacheLine = 64;
/// Children that are evaluated together, so that the heads work on full vectors.
inline constexpr std::size_t kBatchChildren = 16;
/// Outcomes with zeros up to a power of two.
inline constexpr std::size_t kHeadWidth = 8;

/// What the kernels read of a quantised network. Shapes: R rows, H hidden, S second units.
struct KernelWeights {
  std::size_t hidden = 0;               ///< H, a multiple of kHiddenStep
  const std::int16_t* rows = nullptr;   ///< R x H, in units of 1 / (127 * 2^shift)
  int shift = 0;                        ///< from accumulators to activations of 0..127
  const std::int8_t* second = nullptr;  ///< H/4 x S x 4
  const float* second_scale = nullptr;  ///< S
  const float* second_bias = nullptr;   ///< S
  const float* head_weights = nullptr;  ///< S x kHeadWidth, zeros from O on
  const float* head_bias = nullptr;     ///< kHeadWidth, zeros from O on
};

/// The first layer's sums for one position, rounding included. H of them are used.
struct alignas(kCacheLine) Accumulator {
  std::array<std::int16_t, kMaxHidden> sums;
};

/// A position as the change from a common base.
struct ChildInput {
  RowChanges changes;
  unsigned possible = 0;  ///< Bit i: outcome i is not excluded by the rules.
};

/// O x kBatchChildren probabilities; those of impossible outcomes are exactly zero.
struct alignas(kCacheLine) BatchOutcomes {
  std::array<std::array<float, kBatchChildren>, kOutcomeCount> probability;
};

struct Kernels {
  InstructionSet level;
  /// out = base + rows `added` - rows `removed`. `out` may be `base`.
  void (*accumulate)(const KernelWeights& weights, const Accumulator& base,
                     const RowChanges& changes, Accumulator& out) noexcept;
  /// The network's outputs for up to kBatchChildren positions. Each is the same to the bit in
  /// whatever company it is evaluated.
  void (*forward)(const KernelWeights& weights, const Accumulator& base,
                  std::span<const ChildInput> children, BatchOutcomes& out) noexcept;
};

/// REQUIRES: is_available(level).
[[nodiscard]] const Kernels& kernels_for(InstructionSet level) noexcept;

}  // namespace sixfold
