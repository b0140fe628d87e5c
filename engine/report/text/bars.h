/// Bars of block characters for shares of games: the six outcomes told apart by their glyphs.
#pragma once

#include <array>
#include <cstddef>
#include <string>
#include <vector>

#include "rules/outcome_distribution.h"

namespace sixfold {

/// How many of `length` blocks each outcome gets: its share rounded down, and what is left over to
/// those that lost most by that (the largest remainders; the earlier outcome where they tie), so
/// that they add up to `length`. Shares below zero count as none. REQUIRES: some share is positive.
[[nodiscard]] std::array<int, kOutcomeCount> blocks_of(const OutcomeDistribution& outcomes,
                                                       int length);

/// `length` columns, from the backgammons lost to the backgammons won.
[[nodiscard]] std::string outcome_bar(const OutcomeDistribution& outcomes, int length);

/// A play, its rank counted from 0, and how its games end.
struct BarRow {
  std::size_t rank;
  std::string name;
  OutcomeDistribution outcomes;
};

/// A bar for each row, all of one length, below a line that says what a
/// block is and above one that says which is which. At most 80 columns for names of up to 49
/// letters (ASCII).
[[nodiscard]] std::string outcome_bars(const std::vector<BarRow>& rows);

}  // namespace sixfold
