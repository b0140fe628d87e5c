/// What games with the cube teach about its life: samples for least squares.
///
/// A game is played without the cube to its end. Of each of its positions, for each place of the
/// cube, the equity while nobody doubles this turn is worked out from the evaluator's values after
/// all plays of all rolls, decisions to double, take and pass among them; then what followed in the
/// game is looked back on: by how much that went another way than the values said, discounted by
/// lambda a ply, luck left out. At money, the cube unlimited.
#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <vector>

#include "evaluator/evaluator.h"
#include "rollout/choice.h"

namespace sixfold {

/// Equities while nobody doubles this turn, by where the cube is.
struct HoldEquities {
  std::array<double, 3> of{};  ///< In the order of CubeOwner.
  double& operator[](CubeOwner owner) noexcept { return of[static_cast<std::size_t>(owner)]; }
  double operator[](CubeOwner owner) const noexcept { return of[static_cast<std::size_t>(owner)]; }
};

struct CubeSample {
  Position position;
  double dead = 0.0;  ///< Equity with a dead cube.
  /// What lives are multiplied by, in the order of CubeLives: at life 1, what each side's share
  /// adds to the equity.
  std::array<double, kLifeCount> gain{};
  HoldEquities value;  ///< What the evaluator said.
  HoldEquities target;
};

/// The positions of game number `game` of `seed`, the start first. `two_sided` are the bear-offs
/// whose equities are known.
[[nodiscard]] std::vector<CubeSample> cube_game_samples(const Evaluator& evaluator,
                                                        const TwoSidedTable& two_sided,
                                                        const Position& start, double lambda,
                                                        std::uint64_t seed, std::uint64_t game,
                                                        ChoiceScratch& scratch);

}  // namespace sixfold
