/// What is odd about a position, which may have been typed wrongly.
///
/// Pure functions; safe to use from any thread.
#pragma once

#include <string>
#include <vector>

#include "rules/position.h"

namespace sixfold {

/// Sentences, one for each oddity: checkers that count as borne off while others of their side
/// stand outside its home board, and placings that no game reaches. None of them is refused.
[[nodiscard]] std::vector<std::string> position_warnings(const Position& position);

}  // namespace sixfold
