/// Which scores are shown on a flip plane, and what is said of it in text and page.
///
/// Pure functions; safe to use from any thread.
#pragma once

#include <array>
#include <string>

#include "study/flip.h"

namespace sixfold {

/// Scores that have names of their own.
inline constexpr std::array kNamedScores{"money", "dmp", "gammon-go", "gammon-save"};
/// Scores are shown up to so many points to go.
inline constexpr int kMostAwayShown = 9;
/// "3-away/5-away", with "crawford" where one side alone is 1-away.
[[nodiscard]] std::string away_score_name(int roller, int opponent);
/// The gammon prices of a score by its name.
[[nodiscard]] GammonPrices prices_at(const std::string& score);

/// A play of the plane in words, by its number in Flip::plays.
[[nodiscard]] std::string play_name(const FlipStudy& study, std::size_t play);

/// What must be said under the plane, as prose without line breaks.
[[nodiscard]] std::string flip_words(const FlipStudy& study);
/// Where the two plays that are best most often are equal: along the roller's price with the
/// opponent's at money's, or the other way round. A sentence.
[[nodiscard]] std::string break_even_words(const FlipStudy& study, bool own_price);

}  // namespace sixfold
