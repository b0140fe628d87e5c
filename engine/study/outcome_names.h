/// What the six outcomes are called, in the order of Outcome.
#pragma once

#include <array>

#include "rules/outcome_distribution.h"

namespace sixfold {

/// In JSON and CSV.
inline constexpr std::array<const char*, kOutcomeCount> kOutcomeFields{
    "lose_backgammon", "lose_gammon", "lose_single", "win_single", "win_gammon", "win_backgammon"};
/// For readers.
inline constexpr std::array<const char*, kOutcomeCount> kOutcomeWords{
    "lost backgammons", "lost gammons", "lost single games",
    "won single games", "won gammons",  "won backgammons"};

}  // namespace sixfold
