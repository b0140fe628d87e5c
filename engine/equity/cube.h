/// The doubling decision: what each action is worth, and which is right.
///
/// Pure arithmetic on plain values; safe to use from any thread.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "equity/cube_model.h"
#include "equity/score.h"
#include "exact/two_sided.h"

namespace sixfold {

struct Cube {
  int value = 1;
  CubeOwner owner = CubeOwner::kCentred;
  friend bool operator==(const Cube&, const Cube&) = default;
};

/// `centred`, `roller:V` or `opponent:V`, V a power of two. Throws InputError for any other text.
[[nodiscard]] Cube parse_cube(std::string_view text);
/// The same, and nothing for `none`: the cube is left out.
[[nodiscard]] std::optional<Cube> parse_cube_or_none(std::string_view text);
/// What parse_cube() reads as this cube.
[[nodiscard]] std::string cube_text(const Cube& cube);

/// How much of a live cube's worth a cube has, by kind of position. Measured: see
/// engine/equity/README.md.
inline constexpr double kContactCubeLife = 0.69;
inline constexpr double kRaceCubeLife = 0.52;

/// The chances to win at which each side just takes the other's double, with the cube live as
/// modelled and dead. Nothing where no double can be made.
struct TakePoint {
  double live;
  double dead;
};
struct TakePoints {
  std::optional<TakePoint> roller;
  std::optional<TakePoint> opponent;
};
[[nodiscard]] TakePoints take_points(const CubeModel& model) noexcept;

enum class CubeAction { kNoDouble, kDoubleTake, kDoublePass, kTooGood };

/// Equities per unit of the present cube: -1 and +1 are single games at its value.
struct CubeDecision {
  double no_double = 0.0;
  std::optional<double> double_take;  ///< Nothing where the roller may not double.
  std::optional<double> double_pass;
  CubeAction action = CubeAction::kNoDouble;
  bool is_beavered = false;  ///< A double would be beavered, which double_take then stands for.
  std::optional<double> double_point;   ///< The roller's chance to win from which he doubles.
  std::optional<double> cash_point;     ///< That from which the opponent passes.
  std::optional<TakePoint> take_point;  ///< The opponent's chance down to which he takes.

  /// What the best action gives.
  [[nodiscard]] double equity() const noexcept;
};

/// Sets action and equity() by the three equities.
void decide(CubeDecision& decision) noexcept;

/// The decision alone, without the points: at one of the model's steps, for a roller who wins with
/// probability `p`. REQUIRES: step < model.steps().
[[nodiscard]] CubeDecision doubling_by(const CubeModel& model, std::size_t step, CubeOwner owner,
                                       double p, bool beavers) noexcept;

/// What the side on roll should do at money, by the two-sided table.
[[nodiscard]] CubeDecision exact_decision(const TwoSidedTable::Entry& entry,
                                          CubeOwner owner) noexcept;

/// What each wrong action gives up against the best, in the same unit; 0 for right ones.
struct CubeCosts {
  double no_double = 0.0;
  double doubling = 0.0;
  double take = 0.0;  ///< Of the opponent's, once doubled.
  double pass = 0.0;
};
/// REQUIRES: the roller may double.
[[nodiscard]] CubeCosts costs_of(const CubeDecision& decision) noexcept;

/// The score's stakes from the cube's value up. Throws InputError for a cube that the score does
/// not allow: beyond the match, or turned in the Crawford game.
[[nodiscard]] std::span<const Stake> stakes_from(const Score& score, const Cube& cube);

/// What outcomes are worth at a score with the cube at its present value and dead, so that single
/// games are -1 and +1 (per unit of the cube at money). Throws InputError as below.
[[nodiscard]] OutcomeWorth cubeless_worth(const Score& score, const Cube& cube);

/// By the model of equity/cube_model.h. `outcomes` are the roller's before his roll. Throws
/// InputError for a cube that the score does not allow.
[[nodiscard]] CubeDecision cube_decision(const OutcomeDistribution& outcomes, const Score& score,
                                         const Cube& cube, double life, bool beavers = false);

/// Equity of the outcomes while nobody doubles at once, per unit of the present cube.
[[nodiscard]] double equity_with_cube(const OutcomeDistribution& outcomes, const Score& score,
                                      const Cube& cube, double life);

[[nodiscard]] std::string_view action_text(CubeAction action) noexcept;

}  // namespace sixfold
