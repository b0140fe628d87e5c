/// Bearing off alone: the distribution of the number of rolls that a side needs.
///
/// Every position of up to 15 checkers on the points 1 to N, 6 <= N <= 10, with plays that minimise
/// the mean number of rolls; among plays of equal mean (to 1e-12) the one with the smaller
/// variance, so that the distribution is well defined. Two sides that are both in the table give
/// estimates of a race: neither player changes his play for the other, which is the whole error.
/// Immutable; safe to use from any thread.
#pragma once

#include <array>
#include <cassert>
#include <cstdint>
#include <string>
#include <vector>

#include "base/workers.h"
#include "exact/side_index.h"
#include "exact/table_cache.h"
#include "rules/outcome_distribution.h"

namespace sixfold {

/// Probabilities of consecutive numbers of rolls; what they leave out at the ends is under 1e-8.
struct RollDistribution {
  static constexpr int kMostCounts = 24;
  std::array<float, kMostCounts> probability{};  ///< Of first, first + 1, ... rolls.
  std::uint8_t first = 0;
  std::uint8_t counts = 0;

  /// P(this many rolls).
  [[nodiscard]] double of(int rolls) const noexcept {
    const int place = rolls - first;
    return place < 0 || place >= counts
               ? 0.0
               : static_cast<double>(probability[static_cast<std::size_t>(place)]);
  }
  [[nodiscard]] int last() const noexcept { return first + counts - 1; }
};

class OneSidedTable {
 public:
  /// REQUIRES: 6 <= points <= 10.
  OneSidedTable(int points, Workers& workers);
  /// From the cache, or built and stored there.
  [[nodiscard]] static std::string cache_name(int points);
  [[nodiscard]] static OneSidedTable from_cache(int points, Workers& workers, TableCache& cache);

  [[nodiscard]] const SideIndex& index() const noexcept { return index_; }
  /// Of the mean rolls.
  [[nodiscard]] std::uint64_t hash() const noexcept;
  [[nodiscard]] bool holds(const Side& side) const noexcept { return index_.holds(side); }
  /// Rolls to bear off all. REQUIRES: holds(side), here and below.
  [[nodiscard]] double mean_rolls(const Side& side) const noexcept {
    return means_[index_.number(side)];
  }
  [[nodiscard]] double standard_deviation(const Side& side) const noexcept;
  [[nodiscard]] const RollDistribution& rolls(const Side& side) const noexcept {
    return rolls_[index_.number(side)];
  }
  /// Rolls until the first checker is off. REQUIRES: 15 checkers on the board.
  [[nodiscard]] const RollDistribution& rolls_to_first_off(const Side& side) const noexcept {
    return first_off_[full_board_number(side)];
  }

  /// Whether race_outcomes answers: both sides are held, and a side that has borne off none has 15
  /// checkers. REQUIRES: not game_over.
  [[nodiscard]] bool holds_race(const Position& position) const noexcept;
  /// The outcomes before the dice when both sides play for the least number of rolls.
  /// REQUIRES: holds_race(position).
  [[nodiscard]] OutcomeDistribution race_outcomes(const Position& position) const noexcept;

 private:
  explicit OneSidedTable(int points);
  [[nodiscard]] std::uint32_t full_board_number(const Side& side) const noexcept {
    assert(side.sum(1) == kMaxCheckers);
    // With all 15 on the board, those on point 1 are the rest.
    return full_board_.number(Side(side.bits() >> 4));
  }
  void solve(const Side& side);

  SideIndex index_;
  SideIndex full_board_;
  std::vector<double> means_;
  std::vector<RollDistribution> rolls_;
  std::vector<RollDistribution> first_off_;  ///< By full_board_number.
};

/// Mean rolls to bear off times the mean pips of a roll, 49/6: the effective pip count.
/// Source: Trice W., Backgammon Boot Camp, 2004.
[[nodiscard]] constexpr double effective_pips(double mean_rolls) noexcept {
  return 49.0 / 6.0 * mean_rolls;
}

}  // namespace sixfold
