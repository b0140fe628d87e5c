/// From blocks of trials to what is known of plays, and how well.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "equity/cube_results.h"
#include "rollout/block_series.h"
#include "rollout/rolled.h"
#include "rollout/trial.h"

namespace sixfold {

/// What has been rolled out of one play.
struct PlayBlocks {
  PlayKey play;
  TrialStart start;
  unsigned possible = 0;      ///< Bit o: the rules do not exclude outcome o.
  unsigned open = 0;          ///< Bit o: nor is it certain what a trial's chance of it is.
  bool is_known = false;      ///< Nothing is left to chance.
  bool single_games = false;  ///< No trial ends in a gammon.
  bool is_named = false;      ///< It is never set aside.
  /// Where it has been set aside: the first of the blocks that tell of it. Those before decided.
  std::optional<std::uint64_t> told_from;
  FirstRolls first_rolls{};  ///< As the players see them.
  BlockSeries<BlockMeans> series;
  BlockSeries<CubeMeans> with_cube;  ///< As many, where there is a cube.
  BlockSeries<RollMeans> by_roll;    ///< As many.
};

/// How estimates are made of blocks. Groups of few plays are read again and again, so everything is
/// a function of them alone.
struct EstimateRules {
  OutcomeWorth worth{};
  const CubeRules* cube = nullptr;
  double confidence = 0.95;
  double widening = 1.0;  ///< Of all half-widths, for having looked at them.
  bool keep_groups = false;
  bool keep_all = false;   ///< No play is set aside.
  std::uint64_t seed = 1;  ///< Of the bootstrap.
};

/// Fewest blocks that errors are taken from.
inline constexpr std::uint64_t kFewestBlocks = 6;

/// Means of each group's equity: with the cube where there is one.
[[nodiscard]] std::vector<double> equities(const PlayBlocks& play, const EstimateRules& rules);

/// What `other` costs against `best`, over the blocks that both have.
[[nodiscard]] Estimate cost_of(const PlayBlocks& other, const PlayBlocks& best,
                               const EstimateRules& rules);

/// Everything about one play but how it compares. REQUIRES: it has its fewest blocks.
[[nodiscard]] RolledPlay estimate_of(const PlayBlocks& play, const EstimateRules& rules);

/// Everything about the plays, best first; the best is one that was not set aside. REQUIRES: each
/// has its fewest blocks.
[[nodiscard]] std::vector<RolledPlay> estimates_of(const std::vector<PlayBlocks>& plays,
                                                   const EstimateRules& rules);

}  // namespace sixfold
