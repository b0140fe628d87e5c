/// What is wanted of a rollout, as a value: the plays, what outcomes are worth, how the cube is
/// used, and how many trials of which kind. Nothing in it points to anything else.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "equity/cube_rules.h"
#include "equity/score.h"
#include "rollout/first_rolls.h"
#include "rollout/player.h"
#include "rollout/trial.h"
#include "rules/plays.h"

namespace sixfold {

/// What the luck of rolls is read from, to be taken out of the trials.
enum class LuckControl : std::uint8_t {
  kNone,       ///< It is left in.
  kFull,       ///< The evaluator's values after all plays of all rolls.
  kEstimated,  ///< A LuckSource of the players: luck networks.
};

// What may be asked for, of each play or of all intervals.
inline constexpr std::uint64_t kMostTrials = 100'000'000;
inline constexpr double kWidestWanted = 1000.0;
inline constexpr int kMostLookahead = 1;
inline constexpr int kLatestTruncation = 1000;
inline constexpr double kLeastConfidence = 0.5;
inline constexpr double kMostConfidence = 0.9999;

struct RolloutSettings {
  /// For every play; rounded up to whole blocks, at least 36, and to whole groups of blocks where
  /// there are so many that they are merged (rollout/block_series.h).
  std::uint64_t trials = 600;
  /// When positive: the plays that may still be best, the closest to them and those that are named
  /// go on until their costs have this half-width, up to `most_trials` each.
  double half_width = 0.0;
  std::uint64_t most_trials = 57600;
  double confidence = 0.95;
  std::uint64_t seed = 1;
  int lookahead = 0;       ///< 0 or 1
  int truncate = 0;        ///< plies; 0: trials are played to the end
  bool stratified = true;  ///< The first two rolls are planned.
  LuckControl luck = LuckControl::kFull;
  bool keep_groups = false;  ///< Results hold the groups of blocks behind them.
  bool known_ends = true;    ///< Trials end where the players know the outcomes exactly.

  void make_plain() noexcept {
    stratified = false;
    luck = LuckControl::kNone;
  }
  [[nodiscard]] bool is_plain() const noexcept { return !stratified && luck == LuckControl::kNone; }
  friend bool operator==(const RolloutSettings&, const RolloutSettings&) = default;
};

/// Trials that `trials` are rounded up to.
[[nodiscard]] std::uint64_t whole_blocks(std::uint64_t trials) noexcept;

struct RolloutPlan {
  /// A play, or an action with the cube, and where its trials begin.
  struct Start {
    PlayKey play{};
    TrialStart trials;
    bool is_known = false;     ///< The players know the outcomes there: nothing is left to chance.
    bool is_named = false;     ///< Somebody asks for it by name: it is never set aside.
    FirstRolls first_rolls{};  ///< As the players see them.
  };
  std::vector<Start> starts;
  OutcomeWorth worth{};           ///< Of the outcomes, for the player whose plays these are.
  std::optional<CubeRules> cube;  ///< Players double; equity is that with the cube.
  RolloutSettings settings;
  bool all_go_on = false;     ///< None is set aside: all differences are wanted.
  std::uint64_t players = 0;  ///< TrialPlayers::identity.

  /// All of this as one number: equal plans with equal players have equal results.
  [[nodiscard]] std::uint64_t identity() const;

  /// All of this as bytes, for other processes of the same program: players belong to whoever
  /// reads them.
  [[nodiscard]] std::string save() const;
  /// The cube is that of a score of `table`. Throws InputError for bytes that are none of such a
  /// plan; `where` names them.
  [[nodiscard]] static RolloutPlan load(std::string_view bytes, const MatchEquityTable& table,
                                        std::shared_ptr<const TwoSidedTable> two_sided,
                                        const std::string& where);
};

/// The plays of a roll, rolled out; those of them that are `named` are never set aside. `cube`,
/// where there is one, says what outcomes are worth.
/// REQUIRES: `plays` is not empty and holds results of one roll from `position`; the game is not
/// over.
[[nodiscard]] RolloutPlan plan_plays(const TrialPlayers& players, const Position& position,
                                     std::span<const PlayKey> plays, const Score& score,
                                     const RolloutSettings& settings,
                                     const std::optional<CubeRules>& cube = {},
                                     std::span<const PlayKey> named = {});

/// A position before the roll, of which nothing but its outcomes is wanted, without the cube;
/// `worth` is that of the side on roll. REQUIRES: the game is not over.
[[nodiscard]] RolloutPlan plan_position(const TrialPlayers& players, const Position& position,
                                        const OutcomeWorth& worth, const RolloutSettings& settings);

/// A doubling decision before the roll: without a double this turn, and after one that is taken,
/// then after one that is beavered where that is allowed. REQUIRES: the game is not over.
[[nodiscard]] RolloutPlan plan_double(const TrialPlayers& players, const Position& position,
                                      const CubeRules& cube, const RolloutSettings& settings);

}  // namespace sixfold
