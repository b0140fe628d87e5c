/// Match equity tables as CSV files.
///
///   away,1,2,...,N
///   1,.5,...           row by row: the chance of the side that is 1-away against 1- to N-away, ...
///   ...
///   post-crawford,...  optional: the trailer's chance at 1- to N-away after the Crawford game
///
/// The column and row of 1 are before the Crawford game. Without the last row those chances are of
/// our own. Chances are fractions of 1. Safe to use from any thread.
#pragma once

#include <filesystem>
#include <string>

#include "equity/match_equity.h"

namespace sixfold {

/// Throws InputError for a table that is not square, whose opposite chances do not add up to 1
/// within .0011 (three printed decimals), or with a chance outside 0..1.
[[nodiscard]] MatchEquityTable parse_match_table(const std::string& text, const std::string& name);
[[nodiscard]] MatchEquityTable load_match_table(const std::filesystem::path& path);

[[nodiscard]] std::string match_table_csv(const MatchEquityTable& table);

}  // namespace sixfold
