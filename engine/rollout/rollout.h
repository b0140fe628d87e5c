/// Rolling out the plays of a roll: for each play the distribution over the six outcomes, with
/// intervals, and what it costs against the best.
///
/// A rollout is a pure function of position, roll, plays, score, evaluator and settings: it is
/// bit-identical for any number of threads. All plays share their dice, so that costs come from
/// paired differences. Errors come from independent blocks of six trials (rollout/trial.h).
#pragma once

#include <array>
#include <atomic>
#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <vector>

#include "equity/score.h"
#include "evaluator/evaluator.h"
#include "rollout/statistics.h"
#include "rollout/trial.h"

namespace sixfold {

struct RolloutProgress {
  std::uint64_t trials_done = 0;
  std::uint64_t trials_planned = 0;  ///< Grows when a wanted half-width is not reached yet.
};

struct RolloutSettings {
  /// For every play; rounded up to whole blocks, at least 36, and to whole groups of blocks where
  /// there are so many that they are merged (rollout/block_series.h).
  std::uint64_t trials = 1296;
  /// When positive: the plays that may still be best go on until their costs have this half-width,
  /// up to `most_trials` each.
  double half_width = 0.0;
  std::uint64_t most_trials = 82944;
  double confidence = 0.95;
  std::uint64_t seed = 1;
  int threads = 1;
  int lookahead = 0;                 ///< 0 or 1
  int truncate = 0;                  ///< plies; 0: trials are played to the end
  bool stratified = true;            ///< The first two rolls are planned.
  bool luck_control = true;          ///< The luck of the rolls is taken out.
  bool keep_groups = false;          ///< Results hold the groups of blocks behind them.
  bool known_ends = true;            ///< Trials end where the player knows the outcomes exactly.
  const Player* player = nullptr;    ///< Chooses the plays in trials, instead of the evaluator.
  const CubeRules* cube = nullptr;   ///< Players double; worth is that with the cube.
  const LuckSource* luck = nullptr;  ///< Where luck is read from; null: the evaluator's values.
  const std::atomic<bool>* stop = nullptr;  ///< When set, open blocks are finished and counted.
  std::function<void(const RolloutProgress&)> progress;  ///< Called from any thread.

  void make_plain() noexcept { stratified = luck_control = false; }
  [[nodiscard]] bool is_plain() const noexcept { return !stratified && !luck_control; }
};

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
  /// The best play's shares less this one's, by the same pairs: in sum, each times its worth, they
  /// are the cost, the cube left out.
  std::array<Estimate, kShareCount> shares;
  std::vector<OutcomeDistribution> groups;  ///< Means of groups of blocks, where they are kept.
  std::optional<RolledCube> cube;           ///< Where there is one.
  double best_probability = 0.0;            ///< By Bayesian bootstrap of the blocks.
};

struct RolloutResult {
  std::vector<RolledPlay> plays;  ///< Best first.
  bool interrupted = false;       ///< Stopped before all planned trials.
};

/// Trials that `trials` are rounded up to.
[[nodiscard]] std::uint64_t whole_blocks(std::uint64_t trials) noexcept;

/// A doubling decision, rolled out: the equity without a double this turn and after one that is
/// taken, or beavered where that is worse for the roller, per unit of the present cube.
struct RolledDouble {
  RolledPlay no_double;
  std::optional<RolledPlay> double_take;  ///< Nothing where the roller may not double.
  Estimate difference;                    ///< No double less double/take, by pairs of blocks.
  bool is_beavered = false;               ///< double_take is what is left after a beaver.
  bool interrupted = false;
};

/// REQUIRES: settings.cube; the game is not over. Nothing when it was stopped before the fewest
/// trials. With a half-width goes on until the differences to no double are known that well.
[[nodiscard]] std::optional<RolledDouble> roll_out_double(const Evaluator& evaluator,
                                                          const Position& position,
                                                          const RolloutSettings& settings);

/// REQUIRES: `plays` is not empty and holds results of one roll from `position`; the game is not
/// over. Returns no plays when it was stopped before every play had its fewest trials.
[[nodiscard]] RolloutResult roll_out(const Evaluator& evaluator, const Position& position,
                                     std::span<const PlayKey> plays, const Score& score,
                                     const RolloutSettings& settings);

}  // namespace sixfold
