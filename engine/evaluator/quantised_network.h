/// A network in integers: int16 rows, int8 second layer, floats only in the heads.
///
/// Overflow: a sum of the first layer is bias + the rows of at most 15 checkers a side + one pips
/// row a side. The constructor finds, for each hidden unit, the largest magnitude that any placing
/// of the checkers can reach, and takes the largest shift with 127 * 2^shift * reach + rounding
/// within int16; a network that does not fit at shift 0, or is not finite, is refused.
#pragma once

#include <memory>
#include <vector>

#include "evaluator/kernels.h"
#include "evaluator/network.h"

namespace sixfold {

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

/// Immutable after construction; safe to use from any thread.
class QuantisedNetwork {
 public:
  /// Throws InputError where the weights leave no headroom in int16. `name` is for that message.
  QuantisedNetwork(const Network& network, const char* name);

  [[nodiscard]] const KernelWeights& weights() const noexcept { return weights_; }
  /// The sums of a position with nothing on the board: bias and rounding.
  [[nodiscard]] const Accumulator& empty() const noexcept { return empty_; }

 private:
  void quantise_first(const Network& network, const std::vector<float>& rows);
  void quantise_second(const Network& network);
  void copy_heads(const Network& network);

  AlignedArray<std::int16_t> rows_;
  AlignedArray<std::int8_t> second_;
  AlignedArray<float> tail_;
  Accumulator empty_{};
  KernelWeights weights_;
};

/// For each hidden unit the largest |bias + sum of active rows| over all placings of up to 15
/// checkers a side. `rows` is R x H as made by baked_rows.
[[nodiscard]] std::vector<float> reach_of_units(const Network& network,
                                                const std::vector<float>& rows);

}  // namespace sixfold
