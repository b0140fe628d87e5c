/// What the tables say of a bear-off beyond its outcomes: rolls, effective pips, the cube.
#pragma once

#include <cstddef>
#include <optional>

#include "equity/cube.h"
#include "exact/exact_tables.h"

namespace sixfold {

/// One side alone, playing for the least mean number of rolls.
struct BearOffSide {
  int pips = 0;
  double mean_rolls = 0.0;
  double standard_deviation = 0.0;  ///< Of the number of rolls.
  RollDistribution rolls;

  [[nodiscard]] double effective_pip_count() const noexcept { return effective_pips(mean_rolls); }
  /// Effective pips less the pips on the board (Trice W., Backgammon Boot Camp, 2004).
  [[nodiscard]] double wastage() const noexcept { return effective_pip_count() - pips; }
};

struct BearOffFacts {
  BearOffSide roller;
  BearOffSide opponent;
  std::optional<TwoSidedTable::Entry> cube;  ///< Money equities, where solved exactly.
};

/// A solved game in short.
struct SolvedSummary {
  int checkers = 0;
  std::size_t positions = 0;
  Position start;
  OutcomeDistribution before_roll;     ///< At the start, for the side on roll, any roll to come.
  OutcomeDistribution opening_winner;  ///< For the winner of an opening roll that is not doubles.
};

/// Facts of a race whose sides are both in the one-sided table; otherwise nothing.
[[nodiscard]] std::optional<BearOffFacts> bear_off_facts(const ExactTables& tables,
                                                         const Position& position);

}  // namespace sixfold
