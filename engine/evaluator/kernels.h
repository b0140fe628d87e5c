/// The inner loops of the quantised network at several instruction-set levels, chosen at run time.
///
/// All levels give the same bits: integers wrap or are exact, and the floats after the last integer
/// layer are computed by the same operations in the same order (compiled with -ffp-contract=off).
#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <string_view>

#include "encoding/features.h"
#include "evaluator/cube_head.h"
#include "evaluator/network.h"

namespace sixfold {

enum class InstructionSet : std::uint8_t { kScalar, kAvx2, kAvx512, kNeon };

inline constexpr std::array<std::string_view, 4> kInstructionSetNames{"scalar", "avx2", "avx512",
                                                                      "neon"};

[[nodiscard]] bool is_available(InstructionSet level) noexcept;
[[nodiscard]] InstructionSet best_instruction_set() noexcept;
/// The level of that name; throws InputError for an unknown or absent one.
[[nodiscard]] InstructionSet instruction_set_named(std::string_view name);

inline constexpr std::size_t kCacheLine = 64;
/// Children that are evaluated together, so that the heads work on full vectors.
inline constexpr std::size_t kBatchChildren = 16;
/// Outcomes with zeros up to a power of two.
inline constexpr std::size_t kHeadWidth = 8;

/// Lives with zeros up to what a register holds.
inline constexpr std::size_t kLifeLanes = 8;

/// An activation of 1 in the units of int8 products; sums of rows are finer by a shift.
inline constexpr int kActivationSteps = 127;

/// 127 * 2^8 is near the limit of int16.
inline constexpr int kMostShift = 8;

/// A quantised first layer: R rows of `width` units, in units of 1 / (127 * 2^shift).
struct RowTable {
  std::size_t width = 0;               ///< a multiple of kHiddenStep
  const std::int16_t* rows = nullptr;  ///< R x width
  int shift = 0;                       ///< from sums of rows to activations of 0..127
};

/// The square of an activation of 1, whatever the sums' shift: (127 * 2^8)^2 / 2^18. Twelve bits,
/// so that the second layer's weights have as many.
inline constexpr double kSquareSteps = kActivationSteps * kActivationSteps / 4.0;

/// What the kernels read of a quantised cube head (evaluator/cube_head.h). Shapes: H hidden, L
/// lives.
struct CubeWeights {
  const std::int16_t* hidden = nullptr;  ///< H/2 x kLifeLanes x 2, zeros from L on; null: no head
  alignas(kLifeCount * sizeof(float)) std::array<float, kLifeCount> scale{};
  const float* shapes = nullptr;  ///< kOutcomeShapes x L
};

/// What the kernels read of a quantised network. Shapes: H hidden (the table's width), S second
/// units.
struct KernelWeights {
  RowTable first;
  const std::int16_t* second = nullptr;  ///< H/2 x S x 2
  const float* second_scale = nullptr;   ///< S
  const float* second_bias = nullptr;    ///< S
  const float* head_weights = nullptr;   ///< S x kHeadWidth, zeros from O on
  const float* head_bias = nullptr;      ///< kHeadWidth, zeros from O on
  CubeWeights cube{};
};

/// What the kernels read of a quantised luck network. Shapes: U roll units, H hidden, K facts; the
/// first layer's width is U + H.
struct LuckWeights {
  RowTable first;
  std::size_t units = 0;                ///< U
  const std::int16_t* facts = nullptr;  ///< K x U, in the units of the rows
  const std::int8_t* gates = nullptr;   ///< U/kSecondUnits x H/4 x kSecondUnits x 4
  const float* gate_scale = nullptr;    ///< U
  const float* gate_bias = nullptr;     ///< U
  const float* outcomes = nullptr;      ///< U x kHeadWidth, zeros from O on
};

/// The first layer's sums for one position, rounding included. The table's width of them are used.
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

/// L x kBatchChildren lives, in the order of CubeLives.
struct alignas(kCacheLine) BatchLives {
  std::array<std::array<float, kBatchChildren>, kLifeCount> life;
};

/// A value for each outcome, then zeros.
struct alignas(kCacheLine) HeadValues {
  std::array<float, kHeadWidth> of_outcome;
};

struct Kernels {
  InstructionSet level;
  /// out = base + rows `added` - rows `removed`. `out` may be `base`.
  void (*accumulate)(const RowTable& table, const Accumulator& base, const RowChanges& changes,
                     Accumulator& out) noexcept;
  /// The network's outputs for up to kBatchChildren positions. Each is the same to the bit in
  /// whatever company it is evaluated.
  void (*forward)(const KernelWeights& weights, const Accumulator& base,
                  std::span<const ChildInput> children, BatchOutcomes& out) noexcept;
  /// The same outputs, and what the cube head says. REQUIRES: there is one.
  void (*forward_with_cube)(const KernelWeights& weights, const Accumulator& base,
                            std::span<const ChildInput> children, BatchOutcomes& out,
                            BatchLives& lives) noexcept;
  /// What each chosen roll adds to the chance of each outcome; bit r of `chosen` is kRolls[r],
  /// `out` has a place for each of them. `sums` are the first layer's for the position.
  void (*luck)(const LuckWeights& weights, const Accumulator& sums, const Position& position,
               unsigned chosen, std::span<HeadValues> out) noexcept;
};

/// REQUIRES: is_available(level).
[[nodiscard]] const Kernels& kernels_for(InstructionSet level) noexcept;

}  // namespace sixfold
