/// What a position is worth while the cube is in play: between a dead cube and a live one.
///
/// With a dead cube worth is linear in the chance p to win, between what the side's losses and its
/// wins are worth on average (gammons included; their shares of wins and losses are kept while p
/// varies). With a live cube p moves without jumps and doubles are made exactly where the other
/// side is indifferent: worth is linear between p = 0, the side's take point (where it loses a
/// passed double), its cash point (where it wins one) and p = 1, as far as each side may double.
/// What a live cube has more or less than a dead one is greatest at those two points, and straight
/// beside them. Each side has a share of it, its life (rules/cube_lives.h): of the gain at the cash
/// point the roller, of the loss at the take point the opponent. With one life for both the model
/// is (1 - life) of a dead cube and `life` of a live one. A side whose loss would decide the game
/// for good has nothing to lose by doubling at once: there the cube is live, life 1.
///
/// Source: Janowski R., Take-points in money games, 1993, for money and one life; the same
/// construction between take and cash points, from the highest useful cube value down, for matches.
/// Pure arithmetic on plain values; safe to use from any thread.
#pragma once

#include <array>
#include <cstddef>
#include <span>

#include "rules/cube_lives.h"
#include "rules/outcome_distribution.h"

namespace sixfold {

enum class CubeOwner { kCentred, kRoller, kOpponent };
/// The same seen by the other player.
[[nodiscard]] constexpr CubeOwner reversed(CubeOwner owner) noexcept {
  if (owner == CubeOwner::kCentred) return owner;
  return owner == CubeOwner::kRoller ? CubeOwner::kOpponent : CubeOwner::kRoller;
}

/// How wins, and losses, are shared among single games, gammons and backgammons; all of them are
/// single games where there are none.
struct OutcomeShares {
  explicit OutcomeShares(const OutcomeDistribution& outcomes) noexcept;

  /// Outcomes with this chance to win.
  [[nodiscard]] OutcomeDistribution at(double chance) const noexcept;
  /// The mean worth of losses, and of wins.
  [[nodiscard]] double mean_lost(const OutcomeWorth& worth) const noexcept;
  [[nodiscard]] double mean_won(const OutcomeWorth& worth) const noexcept;

 private:
  std::array<double, kOutcomeCount> share_;
};

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

  /// Of a cube that is partly alive: the share of a passed double in the worth of the second point,
  /// the opponent's, and of the third, the roller's.
  std::array<double, 2> life{};

  [[nodiscard]] double at(double p) const noexcept;
  /// By how much the roller's, or the opponent's, passed doubles stand for games in what a chance
  /// is worth: at() is a dead cube's worth and, for each side, its share of what a pass changes at
  /// its point.
  struct Passes {
    double lost = 0.0;  ///< Doubles that the roller passes.
    double won = 0.0;   ///< Those that the opponent passes.
  };
  [[nodiscard]] Passes passes(double p) const noexcept;
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
  /// they must outlive the model. `outcomes` say how wins and losses are shared among single games,
  /// gammons and backgammons. Where the cube is unlimited, stakes from the second one on are alike
  /// but for their size, as at money, and no more than three are looked at.
  /// REQUIRES: 1 to kMaxCubeSteps stakes; nobody may double at the last one unless the cube is
  /// unlimited.
  CubeModel(std::span<const Stake> stakes, const OutcomeDistribution& outcomes,
            const CubeLives& lives, bool is_unlimited = false) noexcept;

  /// The roller's worth when nobody doubles this turn; `step` counts doublings from the present
  /// value. REQUIRES: step < steps().
  [[nodiscard]] WorthLine worth(std::size_t step, CubeOwner owner) const noexcept;
  /// With a cube that is dead from now on.
  [[nodiscard]] WorthLine dead_worth(std::size_t step) const noexcept;
  /// With a live cube. Where its second chance is above 0 the roller loses a passed double there,
  /// where its third is below 1 he wins one; elsewhere the second point is the first one and the
  /// third the last.
  [[nodiscard]] WorthLine live_worth(std::size_t step, CubeOwner owner) const noexcept;
  [[nodiscard]] std::size_t steps() const noexcept { return count_; }
  [[nodiscard]] const Stake& stake(std::size_t step) const noexcept { return stakes_[step]; }

 private:
  struct Step {
    double win;   ///< Mean worth of the roller's wins.
    double lose;  ///< Mean worth of his losses.
    double take;  ///< His live take point for a double made at this value.
    double cash;  ///< His live cash point.
  };

  void find_points() noexcept;
  void find_unlimited_points() noexcept;
  [[nodiscard]] std::array<double, 2> lives_of(std::size_t step, CubeOwner owner) const noexcept;
  [[nodiscard]] WorthLine line(std::size_t step, CubeOwner owner,
                               const std::array<double, 2>& lives) const noexcept;

  std::span<const Stake> stakes_;
  std::size_t count_;
  CubeLives lives_;
  std::array<Step, kMaxCubeSteps> steps_;
};

}  // namespace sixfold
