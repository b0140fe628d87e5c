/// One trial: a game played out from a position, with the luck of its rolls taken out.
#pragma once

#include <cstdint>
#include <span>

#include "equity/score.h"
#include "evaluator/evaluator.h"
#include "rollout/luck.h"
#include "rollout/player.h"
#include "rules/outcome_distribution.h"

namespace sixfold {

/// How trials are played. `worth` is that of the player whose play is rolled out; the opponent
/// chooses by its reverse.
struct TrialRules {
  const Player* player = nullptr;        ///< Chooses the plays, for both sides.
  const LuckSource* luck = nullptr;      ///< Luck as a control variate; null: is left in.
  bool luck_chooses = false;             ///< The best plays that `luck` finds are the player's.
  const Evaluator* evaluator = nullptr;  ///< Its value ends truncated trials.
  OutcomeWorth worth{};
  std::uint64_t seed = 1;
  bool stratified = true;  ///< Planned first rolls.
  bool known_ends = true;  ///< End where the player knows the outcomes exactly.
  int truncate = 0;        ///< Plies after which a trial ends; 0: never.
};

/// What a trial, or a block of them on average, comes to, from the viewpoint of the player whose
/// play is rolled out.
struct BlockMeans {
  OutcomeDistribution outcomes;  ///< Adjusted for luck.
  OutcomeDistribution luck;      ///< What was taken out; sums to 0.
};

/// Trial number `trial`, from the viewpoint of the player who has just moved and left `position` to
/// his opponent. The luck of each roll has mean zero by construction (rollout/luck.h); subtracting
/// it leaves the expectation unchanged and most of the variance gone. The dice depend on the seed
/// and the number alone: all plays of a decision share them. Source: Montgomery D., Variance
/// reduction, c. 2000; control variates as in Glasserman P., Monte Carlo Methods in Financial
/// Engineering, 2004, section 4.1.
[[nodiscard]] BlockMeans play_trial(const TrialRules& rules, const Position& position,
                                    std::uint64_t trial, ChoiceScratch& scratch) noexcept;

/// The mean of a block's trials. REQUIRES: there are kBlockTrials of them.
[[nodiscard]] BlockMeans block_mean(std::span<const BlockMeans> trials) noexcept;

/// The mean of block number `block`: of the trials from block * kBlockTrials on.
[[nodiscard]] BlockMeans play_block(const TrialRules& rules, const Position& position,
                                    std::uint64_t block, ChoiceScratch& scratch) noexcept;

}  // namespace sixfold
