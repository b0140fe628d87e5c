/// The decisions of a review, judged deeper than by static values: all of them a roll ahead, dear
/// ones by rollouts.
///
/// Costs, best plays and sums become those of the deeper look; luck and the values between turns
/// stay static, so that the disagreement takes up what changes.
#pragma once

#include "study/review.h"

namespace sixfold {

/// Looks a roll ahead at every decision with a choice: of a roll at the plays that players look
/// ahead from (kLookaheadPlays) and the one that was played, after each of the opponent's rolls and
/// his best reply, before which he doubles or not; of the cube at both actions after each of the
/// roller's own rolls. Doubles that are found to have been missed become turns. Beavers, and
/// doubles that help nobody, stay as they are. Ends early, the rest static, when `stop` is set.
void look_ahead(const ReviewTools& tools, MatchReview& review,
                const std::atomic<bool>* stop = nullptr);

/// Who rolls out: a roll's plays or a double, as Core does. Nothing when it was stopped too early.
struct ReviewRoller {
  std::function<std::optional<RolledDecision>(const RolloutQuestion&)> plays;
  std::function<std::optional<CubeStudy>(const RolloutQuestion&)> cube;
  /// Gets which one is rolled out next, from 0, and how many there are.
  std::function<void(std::size_t, std::size_t)> started{};
};

/// Whether a decision costs the bound or more, by static values or a roll ahead, so that a rollout
/// is worth its time. A double that can help nobody is judged of already.
[[nodiscard]] bool is_dear(const ReviewedTurn& turn, double bound);

/// Rolls out the dear decisions, each with dice of its own: the played play and the two others that
/// are best so far, or both actions of the cube. Ends early, the rest as it was, when a roller was
/// stopped.
void roll_out_dear_turns(const ReviewTools& tools, const ReviewRoller& roller,
                         const ReviewDepth& depth, MatchReview& review);

/// A decision becomes what a rollout of it says. Returns whether it says enough: of a roll, that
/// the played play and another one were rolled out.
bool judge_by(const RolledDecision& rolled, ReviewedTurn& turn);
bool judge_by(const CubeStudy& study, ReviewedTurn& turn);

}  // namespace sixfold
