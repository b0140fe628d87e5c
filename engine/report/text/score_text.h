/// Scores and match equities as tables for a terminal of 80 columns.
#pragma once

#include <string>

#include "equity/match_equity.h"
#include "equity/score.h"

namespace sixfold {

/// The whole table in per cent.
[[nodiscard]] std::string match_table_text(const MatchEquityTable& table);

/// What gammons are worth at a score, and from where doubles are right, taken and passed, when
/// wins are single games as often as the match model says.
[[nodiscard]] std::string score_text(const Score& score);

}  // namespace sixfold
