/// Doubling decisions and match equities for people, at most 80 columns wide.
#pragma once

#include <string>

#include "equity/match_equity.h"
#include "study/cube_study.h"

namespace sixfold {

[[nodiscard]] std::string cube_study_text(const CubeStudy& study);

/// The whole table in per cent.
[[nodiscard]] std::string match_table_text(const MatchEquityTable& table);

/// What gammons are worth at a score, and from where doubles are right, taken and passed, when
/// wins are single games as often as the match model says.
[[nodiscard]] std::string score_text(const Score& score);
[[nodiscard]] std::string score_json(const Score& score);

}  // namespace sixfold
