/// How games end that are played with the cube: the outcome or a passed double, and the cube's
/// value.
#pragma once

#include <array>
#include <cstddef>

#include "rules/outcome_distribution.h"

namespace sixfold {

/// Values of the cube that rollouts tell apart: the present one and each doubling of it, up to 64
/// times. Nobody doubles beyond the last one: without such a limit the mean number of points need
/// not exist (Zare, 2004).
inline constexpr std::size_t kCubeValues = 7;

/// The six outcomes in their order, then passes: the player's own and the opponent's.
inline constexpr std::size_t kCubeEnds = kOutcomeCount + 2;
inline constexpr std::size_t kPassLost = kOutcomeCount;
inline constexpr std::size_t kPassWon = kOutcomeCount + 1;

/// Probabilities of ends at each value of the cube, from one player's viewpoint; they sum to 1.
/// Also used for differences, which sum to 0, and for what ends are worth. A regular value.
struct CubeResults {
  std::array<std::array<double, kCubeEnds>, kCubeValues> at{};

  constexpr CubeResults& operator+=(const CubeResults& other) noexcept {
    for (std::size_t k = 0; k < kCubeValues; ++k) {
      for (std::size_t i = 0; i < kCubeEnds; ++i) at[k][i] += other.at[k][i];
    }
    return *this;
  }
  constexpr CubeResults& operator-=(const CubeResults& other) noexcept {
    for (std::size_t k = 0; k < kCubeValues; ++k) {
      for (std::size_t i = 0; i < kCubeEnds; ++i) at[k][i] -= other.at[k][i];
    }
    return *this;
  }
  constexpr CubeResults& operator*=(double factor) noexcept {
    for (auto& ends : at) {
      for (double& probability : ends) probability *= factor;
    }
    return *this;
  }
  friend constexpr bool operator==(const CubeResults&, const CubeResults&) = default;
};

/// The same seen by the other player.
[[nodiscard]] constexpr CubeResults reversed(const CubeResults& results) noexcept {
  CubeResults other;
  for (std::size_t k = 0; k < kCubeValues; ++k) {
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      other.at[k][o] = results.at[k][kOutcomeCount - 1 - o];
    }
    other.at[k][kPassLost] = results.at[k][kPassWon];
    other.at[k][kPassWon] = results.at[k][kPassLost];
  }
  return other;
}

/// Sum over ends of probability times worth.
[[nodiscard]] constexpr double worth_of(const CubeResults& results,
                                        const CubeResults& worth) noexcept {
  double sum = 0.0;
  for (std::size_t k = 0; k < kCubeValues; ++k) {
    for (std::size_t i = 0; i < kCubeEnds; ++i) sum += results.at[k][i] * worth.at[k][i];
  }
  return sum;
}

}  // namespace sixfold
