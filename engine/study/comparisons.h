/// Which plays of a lesson are set side by side.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "study/lesson.h"

namespace sixfold {

/// The best play of a roll against another, at all scores where these two are to be compared.
struct Comparison {
  struct At {
    std::size_t cell;   ///< Of the lesson.
    std::size_t other;  ///< Its rank there, from 0; the best play is 0.
  };
  PlayKey best;
  PlayKey other;
  std::vector<At> at;
};

/// The rank of the second of the plays that are told in full; of the second at all where the others
/// were set aside; nothing where there is none.
[[nodiscard]] std::optional<std::size_t> runner_up(const RolledDecision& rolled);

/// Ranks of the plays that the best one of a cell is compared with: those that the author names, or
/// the runner-up where he names no other.
[[nodiscard]] std::vector<std::size_t> compared_ranks(const RolledDecision& cell,
                                                      const RollRemarks* remarks);

/// The comparisons of a roll, in the order in which they come up.
[[nodiscard]] std::vector<Comparison> comparisons(const Lesson& lesson, Roll roll);

/// The cells of a roll by number.
[[nodiscard]] std::vector<std::size_t> cells_of(const Lesson& lesson, Roll roll);
/// The rank of a play; nothing where it was not rolled out.
[[nodiscard]] std::optional<std::size_t> rank_of(const RolledDecision& rolled, PlayKey play);
/// Ranks of the plays that may be as good as the best, as far as the intervals say.
[[nodiscard]] std::vector<std::size_t> open_ranks(const RolledDecision& rolled);
/// The first of them, or the runner-up where there are none.
[[nodiscard]] std::optional<std::size_t> closest_rival(const RolledDecision& rolled);
/// The plays of a roll to be looked at side by side over all scores: those that are best at one,
/// in the order of the scores; those that the author names; those that may be best or are second
/// at one. No more than `most`, where it is given.
[[nodiscard]] std::vector<PlayKey> plays_side_by_side(const Lesson& lesson, Roll roll,
                                                      std::optional<std::size_t> most = {});
/// How many of them, the first, are best at a score.
[[nodiscard]] std::size_t best_somewhere(const Lesson& lesson, Roll roll);

}  // namespace sixfold
