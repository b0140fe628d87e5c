/// Which plays go on, and which blocks tell of those that do not.
///
/// A play is judged by the first half of its blocks alone, and told by the second, which the
/// judgement has not bent. Pure functions; safe to use from any thread.
#pragma once

#include <cstddef>
#include <vector>

#include "rollout/estimates.h"

namespace sixfold {

/// Which of some plays go on: those that may still be best, the closest rival of the best, and
/// those that are named. The others are set aside, unless the second half leaves it open whether
/// they are behind all that may be best. REQUIRES: they have equally many blocks.
[[nodiscard]] std::vector<std::size_t> set_aside(std::vector<PlayBlocks>& plays,
                                                 const std::vector<std::size_t>& among,
                                                 const EstimateRules& rules);

/// The largest half-width of what some plays cost against the best of them, over all blocks.
/// REQUIRES: as above.
[[nodiscard]] double widest_cost(const std::vector<PlayBlocks>& plays,
                                 const std::vector<std::size_t>& among, const EstimateRules& rules);

/// The blocks that tell of a play: all of them unless it has been set aside.
[[nodiscard]] PlayBlocks told(const PlayBlocks& play);

struct SideBySide {
  PlayBlocks play;
  PlayBlocks best;
};
/// The blocks that a play is compared with the best by. Where the best's groups have become wider,
/// those that lie within; where there are too few of them, all, without regard to common dice.
[[nodiscard]] SideBySide side_by_side(const PlayBlocks& play, const PlayBlocks& best);

/// The best play and those that may be as good.
[[nodiscard]] std::vector<std::size_t> rivals_of(const std::vector<PlayBlocks>& plays,
                                                 std::size_t best, const EstimateRules& rules);
/// What a play set aside is behind by at the least, whichever of the rivals is the best: that one
/// of them is told to be the best may be luck, which would be the play's loss.
[[nodiscard]] double least_behind(const PlayBlocks& play, const std::vector<PlayBlocks>& plays,
                                  const std::vector<std::size_t>& rivals,
                                  const EstimateRules& rules);

}  // namespace sixfold
