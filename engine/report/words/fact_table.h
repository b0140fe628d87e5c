/// The facts of a position as a table of words and numbers, and the terms that it uses.
///
/// Pure functions; safe to use from any thread.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "study/facts.h"

namespace sixfold {

/// A term of the table and what it means, in a line.
struct Term {
  const char* name;
  const char* meaning;
  bool of_play = false;  ///< About what a play does, not about a position.
};
[[nodiscard]] std::span<const Term> glossary() noexcept;

/// A line of a table of facts.
struct FactRow {
  struct Cell {
    std::string text;
    bool changed = false;  ///< By the play.
  };
  const Term& term;
  std::vector<Cell> cells;  ///< Before, then after each play.
};
/// Without the facts that are empty, and those that no play changes.
[[nodiscard]] std::vector<FactRow> fact_rows(const Position& before,
                                             std::span<const PlayKey> plays);

}  // namespace sixfold
