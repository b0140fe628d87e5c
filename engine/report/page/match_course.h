/// The course of a match: what it is worth for its first player after each turn, as a line with the
/// costly decisions marked and linked to their panels.
///
/// Each is an svg element for a page whose style sheet has picture_style() and chart_style(). The
/// tables of turns tell the same in numbers. Pure functions.
#pragma once

#include <string>

#include "report/page/match_parts.h"

namespace sixfold {

/// Of one game.
[[nodiscard]] std::string game_course_svg(const MatchTold& told, const ReviewedGame& game);
/// Of all games side by side; at money their points add up. REQUIRES: there are games.
[[nodiscard]] std::string match_course_svg(const MatchTold& told);

}  // namespace sixfold
