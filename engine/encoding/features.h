/// The numbered table of input features, and the rows into which they are baked.
///
/// A feature is a number of 0 or more, mostly 0 or 1. Placing features describe one side's checkers
/// on one location, or one side's pips. For each side (roller first, then opponent):
///
///   number  feature
///   0-239   points 1 to 24, ten each: exactly 1, 2, 3, 4, 5 checkers; 6 or more; at least 1; at
///           least 2; at least 3; half of what exceeds 3
///   240-243 bar: exactly 1, exactly 2, 3 or more, half of the count
///   244-259 borne off: at least 1, ..., at least 15; the count / 15
///   260-280 pips: hats of width 10 centred on 0, 10, ..., 200; from 200 on the last one is 1
///
/// The opponent's follow at 281. Every one depends on one (side, location, count) or on one
/// (side, pips) alone, so a linear layer over them bakes into one row for each such pair.
/// Sources: README.md. Counts and pips together beat plain thermometer counts by .027 points a game
/// in a study at 100,000 games.
///
/// From 562 on come the relations between the sides (encoding/relations.h), each value of a group a
/// feature and a row of its own: +.0175 points a game at 100,000 games.
///
/// A position activates at most 40 rows, and a play changes few of them. Files tell the
/// table by its number, feature set 2. Constant data; safe to use from any thread.
#pragma once

#include <array>
#include <cassert>
#include <vector>

#include "encoding/relations.h"
#include "rules/position.h"
#include "rules/types.h"

namespace sixfold {

inline constexpr int kFeatureSetVersion = 2;
inline constexpr int kSideCount = 2;

inline constexpr int kPointFeatures = 10;
inline constexpr int kBarFeatures = 4;
inline constexpr int kOffFeatures = 16;
inline constexpr int kPipFeatures = 21;
inline constexpr int kSideFeatures =
    kPoints * kPointFeatures + kBarFeatures + kOffFeatures + kPipFeatures;
inline constexpr int kPlacingFeatures = kSideCount * kSideFeatures;
inline constexpr int kFeatureCount = kPlacingFeatures + kRelationCount;

inline constexpr int kCounts = kMaxCheckers + 1;
inline constexpr int kPipTotals = kMaxCheckers * kBar + 1;
inline constexpr int kSideRows = kLocations * kCounts + kPipTotals;
inline constexpr int kPlacingRows = kSideCount * kSideRows;
inline constexpr int kRowCount = kPlacingRows + kRelationCount;

using Row = std::uint16_t;

/// The row of `count` checkers of a side (0 roller, 1 opponent) on a location. Rows of count 0 have
/// no features and are never activated.
[[nodiscard]] constexpr Row checkers_row(int side, int location, int count) noexcept {
  return static_cast<Row>(side * kSideRows + location * kCounts + count);
}
[[nodiscard]] constexpr Row pips_row(int side, int pips) noexcept {
  return static_cast<Row>(side * kSideRows + kLocations * kCounts + pips);
}

struct WeightedFeature {
  int feature;
  float weight;
};

/// The features that a row stands for. REQUIRES: 0 <= row < kRowCount.
[[nodiscard]] std::vector<WeightedFeature> features_of_row(int row);

/// Up to kCapacity rows, in no particular order.
class RowList {
 public:
  static constexpr std::size_t kCapacity = 2 * (kMaxCheckers + 1) + kRelationGroups;

  RowList() noexcept {}
  /// REQUIRES: size() < kCapacity.
  void push(Row row) noexcept {
    assert(size_ < kCapacity);
    rows_[size_++] = row;
  }
  /// The same where `wanted`, without a branch.
  void push_if(bool wanted, Row row) noexcept {
    rows_[size_] = row;
    size_ += wanted ? 1 : 0;
  }
  [[nodiscard]] std::size_t size() const noexcept { return size_; }
  [[nodiscard]] const Row* begin() const noexcept { return rows_.data(); }
  [[nodiscard]] const Row* end() const noexcept { return rows_.data() + size_; }

 private:
  std::size_t size_ = 0;
  std::array<Row, kCapacity + 1> rows_;  ///< One more for push_if.
};

/// The rows that a position activates.
[[nodiscard]] RowList active_rows(const Position& position) noexcept;

struct RowChanges {
  RowList removed;
  RowList added;
};

/// What turns the rows of one position into those of others that differ in few places.
class RowDifference {
 public:
  explicit RowDifference(const Position& base) noexcept
      : base_(base),
        roller_sets_(base.roller),
        opponent_sets_(base.opponent),
        relations_(relations_between(roller_sets_, opponent_sets_)),
        roller_pips_(base.roller.pips()),
        opponent_pips_(base.opponent.pips()) {}

  [[nodiscard]] RowChanges to(const Position& other) const noexcept;

 private:
  Position base_;
  SideSets roller_sets_;
  SideSets opponent_sets_;
  Relations relations_;
  int roller_pips_;
  int opponent_pips_;
};

}  // namespace sixfold
