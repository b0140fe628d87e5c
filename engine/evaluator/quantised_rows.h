/// A first layer in integers: int16 rows that sums of any position leave within int16.
///
/// Overflow: a sum is bias + the rows of at most 15 checkers a side + one pips row a side, and what
/// a network adds besides. The constructor finds, for each unit, the largest magnitude that any
/// placing of the checkers can reach, and takes the largest shift with 127 * 2^shift * reach +
/// rounding within int16; a layer that does not fit at shift 0, or is not finite, is refused.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "evaluator/kernels.h"

namespace sixfold {

inline constexpr float kActivationScale = static_cast<float>(kActivationSteps);

/// Cache-line aligned storage of plain numbers.
template <typename T>
class AlignedArray {
 public:
  AlignedArray() = default;
  explicit AlignedArray(std::size_t size) : storage_(size + kCacheLine / sizeof(T)) {
    void* start = storage_.data();
    std::size_t space = storage_.size() * sizeof(T);
    start_ = static_cast<T*>(std::align(kCacheLine, size * sizeof(T), start, space));
  }
  AlignedArray(AlignedArray&&) noexcept = default;
  AlignedArray& operator=(AlignedArray&&) noexcept = default;
  AlignedArray(const AlignedArray&) = delete;
  AlignedArray& operator=(const AlignedArray&) = delete;
  ~AlignedArray() = default;

  [[nodiscard]] T* data() noexcept { return start_; }
  [[nodiscard]] const T* data() const noexcept { return start_; }
  T& operator[](std::size_t i) noexcept { return start_[i]; }

 private:
  std::vector<T> storage_;
  T* start_ = nullptr;
};

/// What a network adds to the sums of its first layer's rows.
struct FurtherTerms {
  std::vector<float> reach;  ///< For each unit, the largest magnitude; empty: nothing is added.
  int most = 0;              ///< Terms at one time.
};

/// Immutable after construction; safe to use from any thread.
class QuantisedRows {
 public:
  /// `first` is F x width, `bias` has the width. Throws InputError where the weights leave no
  /// headroom in int16; `name` is for that message. REQUIRES: all weights are finite.
  QuantisedRows(const std::vector<float>& first, const std::vector<float>& bias,
                const std::string& name, const FurtherTerms& further = {});

  [[nodiscard]] const RowTable& table() const noexcept { return table_; }
  /// The sums of a position with nothing on the board: the bias.
  [[nodiscard]] const Accumulator& empty() const noexcept { return empty_; }
  /// A weight in the units of the rows. REQUIRES: it is within what was said of further terms.
  [[nodiscard]] std::int16_t quantised(float weight) const noexcept;

 private:
  AlignedArray<std::int16_t> rows_;
  Accumulator empty_{};
  RowTable table_;
};

/// For each unit the largest |bias + sum of active rows| over all placings of up to 15 checkers a
/// side. `rows` is R x width as made by baked_rows; the bias has the width.
[[nodiscard]] std::vector<float> reach_of_units(const std::vector<float>& bias,
                                                const std::vector<float>& rows);

/// Dense int8 weights with a scale for each output.
struct QuantisedDense {
  AlignedArray<std::int8_t> weights;  ///< outputs/kSecondUnits x inputs/4 x kSecondUnits x 4
  std::vector<float> scale;           ///< From sums over activations of 0..127; one an output.
};

/// `weights` is inputs x outputs. REQUIRES: outputs is a multiple of kSecondUnits, inputs of 4.
[[nodiscard]] QuantisedDense quantise_dense(const std::vector<float>& weights, std::size_t inputs,
                                            std::size_t outputs);

/// Throws InputError unless all values are finite; `name` is that of the array.
void require_finite(const std::vector<float>& values, const std::string& name);

}  // namespace sixfold
