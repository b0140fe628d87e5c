/// Sentences that follow from the numbers by rule, never more certain than their intervals.
///
/// Whatever lies within its interval is said to be open, or left out. Pure functions.
#pragma once

#include <cstddef>
#include <string>

#include "study/cube_study.h"
#include "study/decision.h"

namespace sixfold {

/// The best play against another, by its number in the list. REQUIRES: 0 < other < plays.
[[nodiscard]] std::string verdict_words(const RolledDecision& rolled, std::size_t other);
/// Which lines of the ledger speak for the best play and which against it: those beyond their
/// intervals. Empty where the verdict has said that all of it is open. REQUIRES: as above.
[[nodiscard]] std::string reason_words(const RolledDecision& rolled, std::size_t other);
/// The same by static values: lines that are worth saying, without errors. Empty where there is
/// none that speaks for the best play.
[[nodiscard]] std::string static_reason_words(const Decision& decision, const EvaluatedPlay& best,
                                              const EvaluatedPlay& other);
/// What the counted facts of the two plays differ in; may be empty.
[[nodiscard]] std::string fact_words(const Position& before, Roll roll, PlayKey best,
                                     PlayKey other);
/// What is right for both sides, and by how much the alternative is wrong.
[[nodiscard]] std::string double_words(const CubeStudy& study);
/// "97%", or "over 99%": a chance is never told as a certainty.
[[nodiscard]] std::string chance_words(double chance);

}  // namespace sixfold
