/// Which lines of a ledger are worth a row. Pure; safe to use from any thread.
#pragma once

#include <cmath>

#include "study/ledger.h"

namespace sixfold {

/// Whether a line adds anything to the equity, to the finest digit that is printed: left out is
/// where gammons count for nothing, and where no game has ended otherwise, however wide the
/// interval.
[[nodiscard]] inline bool is_worth_a_row(const LedgerLine& line) noexcept {
  constexpr double kLeastPrinted = 0.00005;
  return std::abs(line.worth.mean) >= kLeastPrinted;
}

}  // namespace sixfold
