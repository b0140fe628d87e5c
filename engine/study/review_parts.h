/// What the reviews of plays and doubles share: values of turns in the match's unit, and means over
/// rolls. Pure functions.
#pragma once

#include "study/review.h"

namespace sixfold {

/// What a decision's equity is in the match's unit, for its player, and the other way round.
[[nodiscard]] double value_of(const Decision& decision, double equity);
[[nodiscard]] double equity_of(const Decision& decision, double value);
/// A value as the other player sees it: chances add up to 1, points to 0.
[[nodiscard]] double others(double value, bool is_match) noexcept;

/// A game's score as each player sees it. Throws InputError as parse_score().
[[nodiscard]] std::array<Score, 2> scores_of(const RecordedMatch& match, const RecordedGame& game,
                                             const MatchEquityTable& table);

/// What the cube's equities say of what was done with it: sets cost and what is right. A cost of
/// `nothing` or less is a rounding error. REQUIRES: the roller may double, or it has been worked
/// out what he gives away.
void judge_cube(const CubeDecision& found, double nothing, ReviewedTurn& turn);

/// By static values.
[[nodiscard]] Evaluation evaluated(const ReviewTools& tools, const Decision& decision);

enum class Rolls : std::uint8_t {
  kAll,
  kOpening,  ///< Those that are no doubles.
};
/// The mean over rolls of what the best play of each is worth, by static values, while nobody
/// doubles before the roll. In the decision's equity; its own roll does not matter.
[[nodiscard]] double mean_over_rolls(const ReviewTools& tools, Decision decision, Rolls rolls);

/// Sets the sums of games and match to what their turns say.
void add_up_sums(MatchReview& review);

}  // namespace sixfold
