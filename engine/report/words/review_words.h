/// A reviewed turn in words. Pure functions.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "base/provenance.h"
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
/// "22: 13/9*(2)", or what was done with the cube.
[[nodiscard]] std::string deed_words(const ReviewedTurn& turn);
/// What a decision moves for its player by its cost, in the match's unit: 0 or less.
[[nodiscard]] double moved_by(const ReviewedTurn& turn) noexcept;

/// What sums over games and matches are in: "points" or "chance to win the match".
[[nodiscard]] std::string_view unit_name(const RecordedMatch& match) noexcept;
/// "Mara’s chance to win the match": the first player's, in which balances are.
[[nodiscard]] std::string unit_of_first(const RecordedMatch& match);
/// In that unit: "57.3%" of a chance, "+1.250" of points.
[[nodiscard]] std::string amount_words(const RecordedMatch& match, double value);
/// The same of a difference: "-6.12%".
[[nodiscard]] std::string change_words(const RecordedMatch& match, double value);

/// The same of a half-width: "± 2.91%".
[[nodiscard]] std::string error_words(const RecordedMatch& match, double half_width);

/// "match to 7" or "money".
[[nodiscard]] std::string length_words(const RecordedMatch& match);
/// "0:2 Crawford": the score before a game.
[[nodiscard]] std::string score_words(const RecordedGame& game);
/// "Mara wins 2 points by resignation", or that the record breaks off.
[[nodiscard]] std::string end_words(const RecordedMatch& match, const RecordedGame& game);
/// Who has won the match, or by how many points a player is ahead at money, or how far the record
/// goes.
[[nodiscard]] std::string result_words(const RecordedMatch& match);

/// By what decisions were judged, and what numbers are in.
[[nodiscard]] std::string values_words(const MatchReview& review, const Provenance& made_by);
[[nodiscard]] std::string units_words(const RecordedMatch& match);
inline constexpr const char* kStoppedNote =
    "Stopped: games are missing, or dear decisions that were not rolled out any more.";

/// A turn and the game that it is of.
struct TurnInGame {
  const ReviewedGame* game = nullptr;
  const ReviewedTurn* turn = nullptr;
};
/// So many are told where there is little room.
inline constexpr std::size_t kDearestShown = 10;
/// Decisions that cost something, the dearest in the match's unit first. The review must outlive
/// them.
[[nodiscard]] std::vector<TurnInGame> dearest_turns(const MatchReview& review);

/// Below this a part of a balance is a rounding error.
inline constexpr double kRoundingError = 1e-9;
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
