/// The ledger of a difference: where a play's cost comes from, line by line.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "rollout/rollout.h"
#include "study/decision.h"

namespace sixfold {

struct LedgerLine {
  const char* name;  ///< "wins", "gammons won", ...
  Estimate change;   ///< The best play's share of all games less the other's.
  double price;      ///< Equity of one more such game, beyond the line before.
  Estimate worth;    ///< change times price.
};

/// Lines add up to the cost: exactly, but for the rounding of floats.
struct Ledger {
  std::array<LedgerLine, kShareCount> lines;
  std::optional<Estimate> cube;  ///< What the cube adds, where there is one.
  Estimate cost;
};

/// Of a play that is not the best, at a score with these worths.
[[nodiscard]] Ledger ledger_of(const RolledPlay& play, const OutcomeWorth& worth);

/// The best play against the runner-up at several scores, in short: a row of worths each.
[[nodiscard]] std::string ledger_rows(const std::vector<const RolledDecision*>& cells);

/// A table of at most 80 columns. `best` and `other` are the plays in words.
[[nodiscard]] std::string ledger_text(const Ledger& ledger, const std::string& best,
                                      const std::string& other);

}  // namespace sixfold
