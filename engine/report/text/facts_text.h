/// The facts of a position and of plays as a table for a terminal.
#pragma once

#include <span>
#include <string>

#include "study/facts.h"

namespace sixfold {

/// A table of the position before and after up to three plays, numbered from 1, what a play changes
/// marked; at most 80 columns.
[[nodiscard]] std::string facts_text(const Position& before, std::span<const PlayKey> plays);

}  // namespace sixfold
