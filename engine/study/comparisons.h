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

}  // namespace sixfold
