/// What is said of a flip plane in text and page.
///
/// Pure functions; safe to use from any thread.
#pragma once

#include <string>

#include "report/telling.h"
#include "study/flip.h"

namespace sixfold {

/// A play of the plane in words, by its number in Flip::plays.
[[nodiscard]] std::string play_name(const FlipStudy& study, std::size_t play);

/// What must be said under the plane, as prose without line breaks.
[[nodiscard]] std::string flip_words(const FlipStudy& study, const Telling& telling);
/// Where the two plays that are best most often are equal: along the roller's price with the
/// opponent's at money's, or the other way round. A sentence.
[[nodiscard]] std::string break_even_words(const FlipStudy& study, bool own_price);

}  // namespace sixfold
