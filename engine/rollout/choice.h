/// How a player chooses: the play that an evaluator values most at a score.
#pragma once

#include <vector>

#include "equity/score.h"
#include "evaluator/evaluator.h"
#include "rules/plays.h"

namespace sixfold {

/// One thread's working memory for choosing plays; reused, never copied.
struct ChoiceScratch {
  PlayList plays;
  std::vector<OutcomeDistribution> outcomes = std::vector<OutcomeDistribution>(kMaxPlays);
};

struct Choice {
  PlayKey play;
  OutcomeDistribution outcomes;  ///< After the play, from the viewpoint of the player who makes it.
};

/// The first of the plays with the highest worth, by the evaluator's static values. `worth` is that
/// of the side on roll. REQUIRES: the game is not over.
[[nodiscard]] Choice best_play(const Evaluator& evaluator, const Position& position, Roll roll,
                               const OutcomeWorth& worth, ChoiceScratch& scratch) noexcept;

}  // namespace sixfold
