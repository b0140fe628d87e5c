/// How a player chooses: the play that an evaluator values most at a score.
#pragma once

#include <array>
#include <optional>
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

/// The best play for every roll of a position.
struct BestPlays {
  std::array<Choice, kRollCount> of_roll;  ///< In the order of kRolls.

  /// The outcomes before the dice: the mean over the 36 outcomes of two dice.
  [[nodiscard]] OutcomeDistribution mean() const noexcept;
};

/// best_play for each of the 21 rolls. REQUIRES: the game is not over.
[[nodiscard]] BestPlays best_plays(const Evaluator& evaluator, const Position& position,
                                   const OutcomeWorth& worth, ChoiceScratch& scratch) noexcept;

/// Plays that are looked ahead from: the statically best ones.
inline constexpr std::size_t kLookaheadPlays = 4;

/// A play, and the opponent's replies to it where they have been looked at.
struct ChosenPlay {
  PlayKey play;
  std::optional<BestPlays> replies;
};

/// The best play by one roll of lookahead: of the statically best plays, the one whose worth is
/// highest after each of the opponent's 21 rolls and his statically best answer to it.
[[nodiscard]] ChosenPlay best_play_ahead(const Evaluator& evaluator, const Position& position,
                                         Roll roll, const OutcomeWorth& worth,
                                         ChoiceScratch& scratch) noexcept;

}  // namespace sixfold
