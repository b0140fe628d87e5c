/// Which rolls decide, in words: never more certain than intervals.
///
/// Pure functions; safe to use from any thread.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "study/cube_study.h"
#include "study/deciding_rolls.h"
#include "study/decision.h"

namespace sixfold {

/// The rows of a table: rolls whose parts are beyond their intervals, those for a difference first,
/// as far as there is room.
struct ShownRolls {
  std::vector<RollPart> rows;
  std::vector<RollPart> others;
};
[[nodiscard]] ShownRolls shown_rolls(const DecidingRolls& rolls);

/// The rolls that decide between the best play and another, by its number in the list. Empty where
/// its cost is told as a bound or nothing can be said. REQUIRES: 0 < other < plays.
[[nodiscard]] std::string roll_words(const RolledDecision& rolled, std::size_t other);
/// With which rolls a double gains and loses against waiting. Empty where nothing can be said, or
/// the roller may not double. REQUIRES: the study has been rolled out.
[[nodiscard]] std::string roll_words(const CubeStudy& study);
/// For a table: "66 64 61", the rolls that cost most, the dearest first; those alone that are
/// beyond their intervals.
[[nodiscard]] std::string dearest_rolls(const RolledPlay& play);
/// The same of rolls with which a double gains on waiting. REQUIRES: a double has been rolled out.
[[nodiscard]] std::string gaining_rolls(const CubeStudy& study);

}  // namespace sixfold
