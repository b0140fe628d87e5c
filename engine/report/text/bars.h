/// Bars of block characters for shares of games: the six outcomes told apart by their glyphs.
#pragma once

#include <array>
#include <string>
#include <utility>
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

/// A bar for each named row, numbered from 1, all of one length, below a line that says what a
/// block is and above one that says which is which. At most 80 columns for names of up to 49
/// letters (ASCII).
[[nodiscard]] std::string outcome_bars(
    const std::vector<std::pair<std::string, OutcomeDistribution>>& rows);

}  // namespace sixfold
