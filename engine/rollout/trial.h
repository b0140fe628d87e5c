/// One trial: a game played out from a position, with the luck of its rolls taken out.
#pragma once

#include <cstdint>

#include "equity/cube_rules.h"
#include "equity/score.h"
#include "evaluator/evaluator.h"
#include "rollout/block_means.h"
#include "rollout/first_rolls.h"
#include "rollout/luck.h"
#include "rollout/player.h"
#include "rules/outcome_distribution.h"

namespace sixfold {

/// How trials are played. `worth` is that of the player whose play is rolled out; the opponent
/// chooses by its reverse.
struct TrialRules {
  const Player* player = nullptr;    ///< Chooses the plays, for both sides but for an opponent.
  const LuckSource* luck = nullptr;  ///< Luck as a control variate; null: is left in.
  bool luck_chooses = false;         ///< The best plays that `luck` finds are the player's.
  const Evaluator* evaluator =
      nullptr;                      ///< Its value ends truncated trials; doubles are made by it.
  bool plays_by_evaluator = false;  ///< What the player has seen is what it says.
  /// Chooses the plays of the side whose results are not wanted; null: the player does.
  const Player* opponent = nullptr;
  const Evaluator* opponents_evaluator = nullptr;  ///< By it the opponent doubles and takes.
  OutcomeWorth worth{};             ///< By which plays are chosen where there is no cube.
  const CubeRules* cube = nullptr;  ///< Players double by it, and choose by its worth of outcomes.
  std::uint64_t seed = 1;
  bool stratified = true;  ///< Planned first rolls.
  bool known_ends = true;  ///< End where both sides know the outcomes exactly.
  int truncate = 0;        ///< Plies after which a trial ends; 0: never.
};

/// Where a trial begins.
struct TrialStart {
  Position position;
  bool player_rolls = false;  ///< Whose results are wanted; else the other is on roll.
  CubeState cube{};
  bool may_double = true;  ///< Whether the side on roll may double before the first roll.
};

/// Trial number `trial`, from the viewpoint of the player whose play is rolled out. The luck of
/// each roll has mean zero by construction (rollout/luck.h); subtracting it leaves the expectation
/// unchanged and most of the variance gone. The dice depend on the seed and the number alone: all
/// plays of a decision share them. `cube` gets how it ends with the cube; the outcomes are those of
/// the game played to its end in any case. Source: Montgomery D., Variance reduction, c. 2000;
/// control variates as in Glasserman P., Monte Carlo Methods in Financial Engineering, 2004,
/// section 4.1. REQUIRES: `cube` is given where the rules have one.
[[nodiscard]] BlockMeans play_trial(const TrialRules& rules, const TrialStart& start,
                                    std::uint64_t trial, ChoiceScratch& scratch,
                                    CubeMeans* cube = nullptr) noexcept;

/// What the trials of a start take it and its first roll to be worth: zero luck where none is taken
/// out. Where the outcomes are known, so are those after each roll. `worth` is that of the outcomes
/// where the rules have no cube.
[[nodiscard]] FirstRolls first_rolls_of(const TrialRules& rules, const TrialStart& start,
                                        const OutcomeWorth& worth, ChoiceScratch& scratch) noexcept;

/// The mean of block number `block`, of the trials from block * kBlockTrials on, after a play that
/// has left `position` to the opponent.
[[nodiscard]] BlockMeans play_block(const TrialRules& rules, const Position& position,
                                    std::uint64_t block, ChoiceScratch& scratch) noexcept;

}  // namespace sixfold
