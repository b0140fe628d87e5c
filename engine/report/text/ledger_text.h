/// Where costs come from, as tables for a terminal.
#pragma once

#include <string>
#include <vector>

#include "study/decision.h"
#include "study/ledger.h"

namespace sixfold {

/// The best play against the runner-up at several scores, in short: a row of worths each.
[[nodiscard]] std::string ledger_rows(const std::vector<const RolledDecision*>& cells);

/// A table of at most 80 columns. `best` and `other` are the plays in words.
[[nodiscard]] std::string ledger_text(const Ledger& ledger, const std::string& best,
                                      const std::string& other);

}  // namespace sixfold
