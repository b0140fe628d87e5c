/// How facts are numbered. For those who find them; others need no more than roll_facts.h.
#pragma once

#include "encoding/roll_facts.h"

namespace sixfold {

inline constexpr int kDice = 6;
inline constexpr int kOrigins = kBar;  // Points 1 to 24, and the bar.
inline constexpr int kLandings = 5;
inline constexpr int kStackSizes = 3;
inline constexpr int kMostSteps = 4;
inline constexpr int kBarCounts = 4;
inline constexpr int kBelow = kDice;  // A step from the ace point ends at most so far below it.
inline constexpr int kLeastRun = 3;
inline constexpr int kRunTotals = 9;

inline constexpr int kSteps = 0;
inline constexpr int kNoStep = kSteps + kDice * kOrigins * kLandings * kStackSizes;
inline constexpr int kRuns = kNoStep + kDice;
inline constexpr int kMeetings = kRuns + kRunTotals * kOrigins * kLandings;
inline constexpr int kBars = kMeetings + kOrigins * kLandings;
inline constexpr int kStrides = kBars + kRollCount * kBarCounts;
inline constexpr int kStocks = kStrides + kDice * kMostSteps * kOrigins * kLandings;
static_assert(kFactCount == kStocks + kDice * kOrigins * kMostSteps);

}  // namespace sixfold
