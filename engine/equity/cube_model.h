/// What a position is worth while the cube is in play: between a dead cube and a live one.
///
/// With a dead cube worth is linear in the chance p to win, between what the side's losses and its
/// wins are worth on average (gammons included; their shares of wins and losses are kept while p
/// varies). With a live cube p moves without jumps and doubles are made exactly where the other
/// side is indifferent: worth is linear between p = 0, the side's take point (where it loses a
/// passed double), its cash point (where it wins one) and p = 1, as far as each side may double.
/// The model is (1 - life) of the first and `life` of the second. A side whose loss would decide
/// the game for good has nothing to lose by doubling at once: there the cube is live, life 1.
///
/// Source: Janowski R., Take-points in money games, 1993, for money; the same construction between
/// take and cash points, from the highest useful cube value down, for matches.
/// Pure arithmetic on plain values; safe to use from any thread.
#pragma once

#include <array>
#include <cstddef>
#include <span>

#include "rules/outcome_distribution.h"

namespace sixfold {

enum class CubeOwner { kCentred, kRoller, kOpponent };

/// What the end of a game is worth to the roller at one value of the cube, in any linear unit.
struct Stake {
  OutcomeWorth worth{};
  double pass_lose = 0.0;  ///< When he passes a double that was made at this value.
  double pass_win = 0.0;   ///< When the opponent does.
  bool roller_may_double = false;
  bool opponent_may_double = false;
  bool roller_risks_nothing = false;  ///< A loss at this value is as bad as any.
  bool opponent_risks_nothing = false;
  friend bool operator==(const Stake&, const Stake&) = default;
};

/// Worth as equity: single games at this stake are -1 and +1.
[[nodiscard]] constexpr double equity_of(const Stake& stake, double worth) noexcept {
  const double middle = (stake.pass_win + stake.pass_lose) / 2.0;
  return (worth - middle) / ((stake.pass_win - stake.pass_lose) / 2.0);
}

[[nodiscard]] constexpr OutcomeWorth equity_of(const Stake& stake,
                                               const OutcomeWorth& worth) noexcept {
  OutcomeWorth equities{};
  for (std::size_t i = 0; i < kOutcomeCount; ++i) equities[i] = equity_of(stake, worth[i]);
  return equities;
}
/// The worth of an equity on that scale.
[[nodiscard]] constexpr double worth_at(const Stake& stake, double equity) noexcept {
  return (stake.pass_win + stake.pass_lose) / 2.0 +
         equity * (stake.pass_win - stake.pass_lose) / 2.0;
}

/// Worth as a function of the chance to win: straight between four points, of which neighbours may
/// coincide. Does not fall.
struct WorthLine {
  std::array<double, 4> chance{0.0, 0.0, 1.0, 1.0};
  std::array<double, 4> worth{};

  [[nodiscard]] double at(double p) const noexcept;
  /// The least chance at which it comes to `level`: 0 or 1 where it stays on one side.
  [[nodiscard]] double crossing(double level) const noexcept;
};

/// Cube values from the present one up. At money nobody doubles beyond the last of them, 32,768,
/// which moves no point of an unlimited cube by more than 1e-6.
inline constexpr std::size_t kMaxCubeSteps = 16;

/// Immutable; safe to use from any thread.
class CubeModel {
 public:
  /// `stakes` are those of the cube's values from the present one up, each twice the one before;
  /// `outcomes` say how wins and losses are shared among single games, gammons and backgammons.
  /// REQUIRES: 1 to kMaxCubeSteps stakes; nobody may double at the last one; 0 <= life <= 1.
  CubeModel(std::span<const Stake> stakes, const OutcomeDistribution& outcomes,
            double life) noexcept;

  /// The roller's worth when nobody doubles this turn; `step` counts doublings from the present
  /// value. REQUIRES: step < steps().
  [[nodiscard]] WorthLine worth(std::size_t step, CubeOwner owner) const noexcept;
  /// With a cube that is dead from now on.
  [[nodiscard]] WorthLine dead_worth(std::size_t step) const noexcept;
  /// With a live cube. Where its second chance is above 0 the roller loses a passed double there,
  /// where its third is below 1 he wins one; elsewhere the second point is the first one and the
  /// third the last.
  [[nodiscard]] WorthLine live_worth(std::size_t step, CubeOwner owner) const noexcept {
    return live_line(steps_[step], owner);
  }
  /// The share that the live cube has in worth().
  [[nodiscard]] double life(std::size_t step, CubeOwner owner) const noexcept;

  [[nodiscard]] std::size_t steps() const noexcept { return count_; }
  [[nodiscard]] const Stake& stake(std::size_t step) const noexcept { return steps_[step].stake; }

 private:
  struct Step {
    Stake stake;
    double win = 0.0;   ///< Mean worth of the roller's wins.
    double lose = 0.0;  ///< Mean worth of his losses.
    double take = 0.0;  ///< His live take point for a double made at this value.
    double cash = 1.0;  ///< His live cash point.
  };

  [[nodiscard]] static WorthLine dead_line(const Step& step) noexcept;
  [[nodiscard]] static WorthLine live_line(const Step& step, CubeOwner owner) noexcept;

  std::array<Step, kMaxCubeSteps> steps_;
  std::size_t count_;
  double life_;
};

}  // namespace sixfold
