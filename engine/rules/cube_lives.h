/// How alive the cube is in a position: what share of a live cube's worth each side has of it.
///
/// A share of 1 is that of a cube that is used at the very moment when it is best, 0 that of a dead
/// one (equity/cube_model.h). It depends on the position and on where the cube is.
#pragma once

#include <array>
#include <cstddef>

namespace sixfold {

/// For the side on roll, or the player who makes a play. A regular value.
struct CubeLives {
  double own = 0.0;                ///< The roller's share of a cube that he owns.
  double opponents = 0.0;          ///< The opponent's of one that he owns.
  double centred_own = 0.0;        ///< The roller's share of a cube in the middle.
  double centred_opponents = 0.0;  ///< The opponent's of the same.
  friend constexpr bool operator==(const CubeLives&, const CubeLives&) = default;
};
inline constexpr std::size_t kLifeCount = 4;

/// The same seen by the other player.
[[nodiscard]] constexpr CubeLives reversed(const CubeLives& lives) noexcept {
  return {lives.opponents, lives.own, lives.centred_opponents, lives.centred_own};
}

/// One share for both sides, wherever the cube is.
[[nodiscard]] constexpr CubeLives equal_lives(double life) noexcept {
  return {life, life, life, life};
}

/// Means over all positions, for evaluators that do not say more. Measured: see
/// engine/equity/README.md.
inline constexpr double kContactCubeLife = 0.69;
inline constexpr double kRaceCubeLife = 0.52;
[[nodiscard]] constexpr CubeLives mean_lives(bool is_race) noexcept {
  return equal_lives(is_race ? kRaceCubeLife : kContactCubeLife);
}

}  // namespace sixfold
