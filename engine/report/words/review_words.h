/// A reviewed turn in words. Pure functions.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "study/review.h"

namespace sixfold {

/// "play", "double", "take" or "pass".
[[nodiscard]] std::string_view kind_name(TurnKind kind) noexcept;
/// "no double", "double", "take" or "pass".
[[nodiscard]] std::string_view step_name(CubeStep step) noexcept;
/// "static", "lookahead" or "rollout".
[[nodiscard]] std::string_view judge_name(JudgedBy by) noexcept;
[[nodiscard]] std::string_view depth_name(const MatchReview& review) noexcept;
/// What was done, and what is best: plays in standard notation, or actions of the cube.
[[nodiscard]] std::string played_text(const ReviewedTurn& turn);
[[nodiscard]] std::string best_text(const ReviewedTurn& turn);
/// What sums over games and matches are in: "points" or "chance to win the match".
[[nodiscard]] std::string_view unit_name(const RecordedMatch& match) noexcept;

/// A turn and the game that it is of.
struct TurnInGame {
  const ReviewedGame* game = nullptr;
  const ReviewedTurn* turn = nullptr;
};
/// Decisions that cost something, the dearest in the match's unit first. The review must outlive
/// them.
[[nodiscard]] std::vector<TurnInGame> dearest_turns(const MatchReview& review);

/// What the games of a match add up to; results from the first game's start to the last one's end.
struct ReviewBalance {
  double start = 0.0;
  double result = 0.0;
  ReviewSums sums;
  double disagreement = 0.0;
  /// What the match's value moves by between games, where some are missing or the record tells
  /// another score than the one that they lead to.
  double between_games = 0.0;
};
[[nodiscard]] ReviewBalance balance_of(const ReviewedGame& game);
[[nodiscard]] ReviewBalance balance_of(const MatchReview& review);

}  // namespace sixfold
