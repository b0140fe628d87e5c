/// Bear-offs of up to six checkers a side, solved exactly for both sides at once.
///
/// Of each of the 924 x 924 pairs of home boards the table holds the side on roll's chance to win
/// when both play to win, and the money equities with the cube, each under its own best plays and
/// best doubling: unlimited cube, no gammons, no Jacoby rule, no beavers. Equities are per unit of
/// the present cube, before the roller's chance to double. Immutable; safe to use from any thread.
#pragma once

#include <cassert>
#include <vector>

#include "base/workers.h"
#include "exact/side_index.h"
#include "exact/table_cache.h"
#include "rules/outcome_distribution.h"

namespace sixfold {

class TwoSidedTable {
 public:
  static constexpr int kCheckers = 6;

  /// Values for the side on roll.
  struct Entry {
    double win_probability = 0.0;
    double owned = 0.0;         ///< The roller owns the cube and doubles when that is best.
    double centred = 0.0;       ///< Either may double first.
    double opponents = 0.0;     ///< The opponent owns the cube.
    double hold_owned = 0.0;    ///< Owned, when the roller does not double this time.
    double hold_centred = 0.0;  ///< Centred, when the roller does not double this time.

    /// A double that is taken: twice the value of a cube that the opponent owns. A pass is worth 1.
    [[nodiscard]] double double_take() const noexcept { return 2.0 * opponents; }
    friend bool operator==(const Entry&, const Entry&) = default;
  };

  explicit TwoSidedTable(Workers& workers);
  /// From the cache, or built and stored there.
  [[nodiscard]] static TwoSidedTable from_cache(Workers& workers, TableCache& cache);

  /// Of all entries.
  [[nodiscard]] std::uint64_t hash() const noexcept;
  /// Both sides have at most six checkers, all at home, and have borne off at least one, so that no
  /// gammon is possible. REQUIRES: not game_over.
  [[nodiscard]] bool holds(const Position& position) const noexcept;
  /// REQUIRES: holds(position), here and below.
  [[nodiscard]] const Entry& entry(const Position& position) const noexcept {
    assert(holds(position));
    return entries_[place(index_.number(position.roller), index_.number(position.opponent))];
  }
  [[nodiscard]] OutcomeDistribution outcomes(const Position& position) const noexcept;

 private:
  TwoSidedTable();
  [[nodiscard]] std::size_t place(std::uint32_t roller, std::uint32_t opponent) const noexcept {
    return std::size_t{roller} * index_.size() + opponent;
  }

  SideIndex index_;
  std::vector<Entry> entries_;
};

}  // namespace sixfold
