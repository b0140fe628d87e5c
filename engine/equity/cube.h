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

/// How the opponent answers a double: kDoubleTake or kDoublePass. REQUIRES: double_take.
[[nodiscard]] CubeAction answer_of(const CubeDecision& decision) noexcept;
/// Sets action and equity() by the three equities.
void decide(CubeDecision& decision) noexcept;

/// The lines between which a side on roll decides: as the cube is, and after a double. Made for a
/// position, they also tell what outcomes near its own are worth.
class CubeLines {
 public:
  /// `owner` has the cube at the model's first value. The model's stakes must outlive this.
  CubeLines(const CubeModel& model, CubeOwner owner, bool beavers) noexcept;

  /// The decision alone, without the points.
  [[nodiscard]] CubeDecision decide(const OutcomeDistribution& outcomes) const noexcept;
  /// After so many doublings at once, without another one.
  [[nodiscard]] double worth(std::size_t doublings,
                             const OutcomeDistribution& outcomes) const noexcept;
  /// How many doublings at once there may be, none among them.
  [[nodiscard]] std::size_t levels() const noexcept { return count_; }
  /// REQUIRES: doublings < levels().
  [[nodiscard]] const WorthLine& line(std::size_t doublings) const noexcept {
    return levels_[doublings].line;
  }

 private:
  struct Level {
    const Stake* stake;
    WorthLine line;
  };
  std::array<Level, 3> levels_;  ///< The first of them, as many as there are.
  std::size_t count_;
};

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
                                         const Cube& cube, const CubeLives& lives,
                                         bool beavers = false);

/// Equity of the outcomes while nobody doubles at once, per unit of the present cube.
[[nodiscard]] double equity_with_cube(const OutcomeDistribution& outcomes, const Score& score,
                                      const Cube& cube, const CubeLives& lives);

[[nodiscard]] std::string_view action_text(CubeAction action) noexcept;

}  // namespace sixfold
