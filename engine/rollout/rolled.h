/// What a rollout gives: for each play the distribution over the six outcomes with intervals, and
/// what it costs against the best. Plain values.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <vector>

#include "rollout/statistics.h"
#include "rules/outcome_distribution.h"
#include "rules/plays.h"

namespace sixfold {

/// Shares of all games in which equity is told: equity is that of losing a single game, plus each
/// share times what it is worth beyond the one before.
enum class ShareOf { kWins, kGammonsWon, kBackgammonsWon, kGammonsLost, kBackgammonsLost };
inline constexpr std::size_t kShareCount = 5;
/// Gammons include backgammons.
[[nodiscard]] constexpr OutcomeWorth outcomes_in(ShareOf share) noexcept {
  switch (share) {
    case ShareOf::kWins:
      return {0, 0, 0, 1, 1, 1};
    case ShareOf::kGammonsWon:
      return {0, 0, 0, 0, 1, 1};
    case ShareOf::kBackgammonsWon:
      return {0, 0, 0, 0, 0, 1};
    case ShareOf::kGammonsLost:
      return {1, 1, 0, 0, 0, 0};
    case ShareOf::kBackgammonsLost:
      break;
  }
  return {1, 0, 0, 0, 0, 0};
}

/// How games of a rollout end with the cube.
struct RolledCube {
  struct End {
    std::size_t turns;  ///< How often the cube is turned from its present value on.
    std::size_t end;    ///< An outcome, or a pass: see equity/cube_results.h.
    Estimate share;     ///< Of all games.
  };
  struct Points {
    int points;  ///< For each unit of the present cube; below zero lost.
    Estimate share;
  };
  std::vector<End> ends;
  std::vector<Points> points;  ///< From the most lost to the most won.
  /// Shares of games that lose or win more than so many points for each unit of the present cube.
  static constexpr int kManyPoints = 8;
  Estimate lose_many;
  Estimate win_many;
  Estimate cubeless_equity;  ///< Of the outcomes, the cube left out.
  Estimate added;            ///< What the cube adds to the cost: the cost less the cubeless one.
};

struct RolledPlay {
  PlayKey play;
  std::uint64_t trials = 0;
  /// In the order of Outcome, from the viewpoint of the player who makes the play. A mean that the
  /// luck adjustment has left below zero is set to zero and its deficit taken from the next smaller
  /// win or loss, or else from the likeliest outcome; equity is the worth of these means. Intervals
  /// whose middle has moved by this are longer by as much.
  std::array<Estimate, kOutcomeCount> outcomes;
  Estimate equity;  ///< With the cube, where there is one; it is then not moved by settling.
  Estimate cost;    ///< The best play's equity less this one's, by pairs of blocks; 0 for the best.
  /// Of a play that was set aside as being behind: it costs at least so much, one-sided, at the
  /// level of the intervals, whichever of the plays that may be best is the best. Everything about
  /// it is then of trials that had no part in the judgement.
  std::optional<double> at_least;
  /// The best play's shares less this one's, by the same pairs: in sum, each times its worth, they
  /// are the cost, the cube left out.
  std::array<Estimate, kShareCount> shares;
  /// The parts of the cost by the first roll after the play, in the order of kRolls: how likely the
  /// roll is, times what the play costs when it comes. In sum they are the cost.
  std::array<Estimate, kRollCount> by_roll{};
  std::vector<OutcomeDistribution> groups;  ///< Means of groups of blocks, where they are kept.
  std::optional<RolledCube> cube;           ///< Where there is one.
  double best_probability = 0.0;            ///< By Bayesian bootstrap of the blocks.
};

/// A share of all games after a play. Equals the sum of its outcomes' means.
[[nodiscard]] inline double share_of(const RolledPlay& play, ShareOf share) noexcept {
  const OutcomeWorth counted = outcomes_in(share);
  double sum = 0.0;
  for (std::size_t o = 0; o < kOutcomeCount; ++o) sum += counted[o] * play.outcomes[o].mean;
  return sum;
}

struct RolloutResult {
  std::vector<RolledPlay> plays;  ///< Best first.
  bool interrupted = false;       ///< Stopped before all planned trials.
};

/// A doubling decision, rolled out: the equity without a double this turn and after one that is
/// taken, or beavered where that is worse for the roller, per unit of the present cube.
struct RolledDouble {
  RolledPlay no_double;
  std::optional<RolledPlay> double_take;       ///< Nothing where the roller may not double.
  Estimate difference;                         ///< No double less double/take, by pairs of blocks.
  std::array<Estimate, kRollCount> by_roll{};  ///< Its parts by the roller's roll, as of a cost.
  bool is_beavered = false;                    ///< double_take is what is left after a beaver.
  bool interrupted = false;
};

}  // namespace sixfold
