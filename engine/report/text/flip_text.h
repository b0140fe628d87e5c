/// Where the verdict flips, as tables for a terminal of 80 columns.
#pragma once

#include <string>

#include "study/flip.h"

namespace sixfold {

[[nodiscard]] std::string flip_text(const FlipStudy& study);
/// The plane and the tables alone, and what must be said under them.
[[nodiscard]] std::string flip_tables(const FlipStudy& study);
[[nodiscard]] std::string flip_note(const FlipStudy& study);

}  // namespace sixfold
