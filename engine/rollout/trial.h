/// One trial: a game played out from a position, with the luck of its rolls taken out.
#pragma once

#include <cstdint>

#include "equity/score.h"
#include "evaluator/evaluator.h"
#include "rollout/choice.h"
#include "rules/outcome_distribution.h"

namespace sixfold {

/// How trials are played. `worth` is that of the player whose play is rolled out; the opponent
/// chooses by its reverse.
struct TrialRules {
  const Evaluator* evaluator = nullptr;  ///< Its values are the luck of rolls, and ends.
  const Evaluator* player = nullptr;     ///< Chooses the plays, for both sides.
  OutcomeWorth worth{};
  std::uint64_t seed = 1;
  bool stratified = true;    ///< Planned first rolls.
  bool luck_control = true;  ///< Luck as a control variate.
  bool known_ends = true;    ///< End where the player knows the outcomes exactly.
  int lookahead = 0;         ///< 0 or 1 rolls looked ahead when choosing plays.
  int truncate = 0;          ///< Plies after which the evaluator's value ends the trial; 0: never.
};

/// The means of a block's trials, from the viewpoint of the player whose play is rolled out.
struct BlockMeans {
  OutcomeDistribution outcomes;  ///< Adjusted for luck.
  OutcomeDistribution luck;      ///< What was taken out; sums to 0.
};

/// The mean outcome of block `block`, from the viewpoint of the player who has just moved and left
/// `position` to his opponent. The luck of each roll (the evaluator's value after the best play for
/// the roll that occurred, less the mean of that over all 36) has mean zero by construction for
/// each of the six outcomes; subtracting it leaves the expectation unchanged and most of the
/// variance gone. The dice depend on the seed and block alone: all plays of a decision share them.
/// Source: Montgomery D., Variance reduction, c. 2000; control variates as in Glasserman P., Monte
/// Carlo Methods in Financial Engineering, 2004, section 4.1.
[[nodiscard]] BlockMeans play_block(const TrialRules& rules, const Position& position,
                                    std::uint64_t block, ChoiceScratch& scratch) noexcept;

}  // namespace sixfold
