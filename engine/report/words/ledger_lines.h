/// Which lines of a ledger are worth a row. Pure; safe to use from any thread.
#pragma once

#include <algorithm>
#include <cmath>

#include "study/ledger.h"

namespace sixfold {

/// Whether a line shows anything but zeros in equity, to the finest digit that is printed: where
/// gammons count for nothing its line is left out.
[[nodiscard]] inline bool is_worth_a_row(const LedgerLine& line) noexcept {
  constexpr double kLeastPrinted = 0.00005;
  return std::max(std::abs(line.worth.mean), line.worth.half_width) >= kLeastPrinted;
}

}  // namespace sixfold
