/// How players use the cube in the games of a rollout, and what its ends are worth.
///
/// They double, take, pass, redouble and beaver by the model of equity/cube_model.h from what an
/// evaluator sees, the outcomes and how alive the cube is, and choose plays by what comes of that;
/// in bear-offs of the two-sided table, at money without beavers, as the table has it. Beyond
/// kCubeValues nobody doubles. Sides are those of the whole rollout: kPlayer's viewpoint is that of
/// all results. Immutable; safe to use from any thread.
#pragma once

#include <array>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "equity/cube.h"
#include "equity/cube_results.h"
#include "exact/two_sided.h"
#include "rules/position.h"

namespace sixfold {

/// Options of money play.
struct MoneyRules {
  bool jacoby = false;   ///< Gammons count once the cube has been turned.
  bool beavers = false;  ///< Whoever is doubled may redouble at once and keep the cube.
  friend bool operator==(const MoneyRules&, const MoneyRules&) = default;
};

/// Throws InputError for money rules at a match score.
[[nodiscard]] Score by_money_rules(const Score& score, const MoneyRules& rules);

enum class CubeSide { kPlayer, kOther };
[[nodiscard]] constexpr CubeSide opposite(CubeSide side) noexcept {
  return side == CubeSide::kPlayer ? CubeSide::kOther : CubeSide::kPlayer;
}

/// Where the cube is: how often it has been turned since the rollout began, and whose it is, for
/// kPlayer.
struct CubeState {
  std::size_t turns = 0;
  CubeOwner owner = CubeOwner::kCentred;
  friend bool operator==(const CubeState&, const CubeState&) = default;
};

class CubeRules {
 public:
  /// kPlayer is the side on roll of the score. `table` may be null. Throws InputError for money
  /// rules at a match score, and for a cube that the score does not allow.
  CubeRules(const Score& score, const Cube& cube, const MoneyRules& rules,
            std::shared_ptr<const TwoSidedTable> table);

  [[nodiscard]] const std::string& score_name() const noexcept { return score_name_; }
  [[nodiscard]] const Cube& cube() const noexcept { return cube_; }
  [[nodiscard]] const MoneyRules& money() const noexcept { return rules_; }
  /// Whether no stake is the last one, as at money.
  [[nodiscard]] bool is_unlimited() const noexcept { return is_unlimited_; }
  [[nodiscard]] CubeState start() const noexcept { return {0, cube_.owner}; }

  /// Whether the table holds the position, and at this score.
  [[nodiscard]] bool is_exact(const Position& position) const noexcept {
    return table_ != nullptr && table_->holds(position);
  }
  /// What `side`, on roll, makes of the cube. The outlook is his before the roll. REQUIRES: the
  /// game is not over.
  [[nodiscard]] CubeDecision decide(const Position& position, const OutcomeDistribution& outcomes,
                                    const CubeLives& lives, const CubeState& state,
                                    CubeSide side) const noexcept;
  /// What a play is worth to `side`, who makes it: it leaves `after` to the opponent, who doubles
  /// or not. In equity per unit of the rollout's first cube; gammons that are worth nothing count a
  /// little, as in choosing_worth(). Outcomes and lives are the maker's.
  [[nodiscard]] double worth_of_play(const Position& after, const OutcomeDistribution& outcomes,
                                     const CubeLives& lives, const CubeState& state,
                                     CubeSide side) const noexcept;
  /// Where the cube is after a double that is taken, or beavered.
  [[nodiscard]] static CubeState turned(const CubeState& state, CubeSide by,
                                        bool beavered) noexcept;

  /// Between which lines `side`, who is about to roll, decides; they also serve for outcomes near
  /// these.
  [[nodiscard]] CubeLines lines(const OutcomeDistribution& outcomes, const CubeLives& lives,
                                const CubeState& state, CubeSide side) const noexcept;
  /// The exact equity for kPlayer of a bear-off in which `side` is about to decide, in units of the
  /// rollout's first cube; nothing where the table does not hold it.
  [[nodiscard]] std::optional<double> exact_equity(const Position& position, const CubeState& state,
                                                   CubeSide side) const noexcept;

  /// Whether kPlayer, or the other, may double when he is on roll.
  [[nodiscard]] bool may_double(const CubeState& state, CubeSide side) const noexcept;
  /// Whether nobody can double any more: the cube then is only the stake.
  [[nodiscard]] bool is_dead(const CubeState& state) const noexcept {
    return !may_double(state, CubeSide::kPlayer) && !may_double(state, CubeSide::kOther);
  }
  /// Whether games that are at `now` can end so.
  [[nodiscard]] bool may_end(const CubeState& now, std::size_t turns,
                             std::size_t end) const noexcept;
  /// Where the cube may be after kPlayer has doubled at the start: taken, and beavered where that
  /// is allowed. Empty where he may not double.
  [[nodiscard]] std::vector<CubeState> after_double() const;
  /// Equity of each end for kPlayer, per unit of the present cube.
  [[nodiscard]] const CubeResults& worth() const noexcept { return worth_; }
  /// The same in whole points of the game.
  [[nodiscard]] int points(std::size_t turns, std::size_t end) const noexcept;
  /// Equity of the outcomes for kPlayer with the cube dead at its present value; at money gammons
  /// count in any case.
  [[nodiscard]] const OutcomeWorth& outcome_worth() const noexcept { return outcome_worth_[0]; }
  /// What `side` chooses plays by while the cube is there: the same, with choosing_worth().
  [[nodiscard]] const OutcomeWorth& play_worth(std::size_t turns, CubeSide side) const noexcept {
    return play_worth_[static_cast<std::size_t>(side)][turns];
  }

 private:
  std::string score_name_;
  Cube cube_;
  MoneyRules rules_;
  bool is_unlimited_;
  std::shared_ptr<const TwoSidedTable> table_;
  /// By side, then turns of the cube; equity per unit of the present cube.
  std::array<std::vector<Stake>, 2> stakes_;
  std::array<OutcomeWorth, kCubeValues> outcome_worth_{};
  std::array<std::array<OutcomeWorth, kCubeValues>, 2> play_worth_{};
  /// What choosing_worth() adds, and a trifle for plays that the cube makes equal.
  std::array<std::array<OutcomeWorth, kCubeValues>, 2> little_{};
  CubeResults worth_;
};

}  // namespace sixfold
