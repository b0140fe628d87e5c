/// The ledger of a difference: where a play's cost comes from, line by line.
#pragma once

#include <array>
#include <optional>

#include "rollout/rollout.h"
#include "study/decision.h"

namespace sixfold {

struct LedgerLine {
  Estimate change;  ///< The best play's share of all games less the other's.
  double price;     ///< Equity of one more such game, beyond the line before.
  Estimate worth;   ///< change times price.
};

/// Lines in the order of ShareOf add up to the cost: exactly, but for the rounding of floats.
struct Ledger {
  std::array<LedgerLine, kShareCount> lines;
  std::optional<Estimate> cube;  ///< What the cube adds, where there is one.
  Estimate cost;
};

/// Of a play that is not the best, at a score with these worths.
[[nodiscard]] Ledger ledger_of(const RolledPlay& play, const OutcomeWorth& worth);

/// The same by static values, which tell no errors: of two plays of a decision's roll.
[[nodiscard]] Ledger static_ledger(const Decision& decision, const EvaluatedPlay& best,
                                   const EvaluatedPlay& other);

}  // namespace sixfold
