/// The tables of a reviewed match's page, as HTML.
#pragma once

#include <string>

#include "report/page/match_parts.h"

namespace sixfold {

/// Decisions, costs and luck of each player, in equity.
[[nodiscard]] std::string players_table(const MatchTold& told);
/// Where the result came from: of the match, and of a game.
[[nodiscard]] std::string match_balance_table(const MatchTold& told);
[[nodiscard]] std::string game_balance_table(const MatchTold& told, const ReviewedGame& game);
/// A line for each game: score, balance, end.
[[nodiscard]] std::string games_table(const MatchTold& told);
/// The decisions that have panels, the dearest first, with links to these.
[[nodiscard]] std::string dearest_table(const MatchTold& told);
/// All turns of a game with what they cost, their luck, and what the match is worth after them.
[[nodiscard]] std::string record_table(const MatchTold& told, const ReviewedGame& game);

}  // namespace sixfold
