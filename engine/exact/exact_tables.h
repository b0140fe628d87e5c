/// What is known without an estimate, gathered for whoever evaluates positions.
#pragma once

#include <memory>
#include <optional>

#include "exact/few_checkers.h"
#include "exact/one_sided.h"
#include "exact/two_sided.h"
#include "rules/outcome_distribution.h"
#include "rules/position.h"

namespace sixfold {

/// How a static value was found.
enum class Method : std::uint8_t { kNetwork, kRaceTable, kExact };

/// Tables that may each be absent. Cheap to copy; safe to use from any thread.
struct ExactTables {
  std::shared_ptr<const OneSidedTable> one_sided;
  std::shared_ptr<const TwoSidedTable> two_sided;
  std::shared_ptr<const SolvedGame> game;  ///< Solved at the score that matters to the user.

  /// Both bear-off tables, the one-sided on `race_points` points, and no solved game.
  /// REQUIRES: 6 <= race_points <= 10.
  [[nodiscard]] static ExactTables bear_offs(int race_points, Workers& workers, TableCache& cache);

  /// A hash of the bear-off tables, which tells whether two processes have the same.
  [[nodiscard]] std::uint64_t hash() const noexcept;

  /// The outcomes under best play by both: of finished games, of games that are solved, of
  /// bear-offs in the two-sided table.
  [[nodiscard]] std::optional<OutcomeDistribution> exact(const Position& position) const noexcept;
  /// The estimate of two one-sided tables. REQUIRES: not game_over.
  [[nodiscard]] std::optional<OutcomeDistribution> race(const Position& position) const noexcept;
};

}  // namespace sixfold
