#include "encoding/features.h"

#include <algorithm>
#include <cassert>
#include <utility>

namespace sixfold {
namespace {

constexpr int kBarStart = kPoints * kPointFeatures;
constexpr int kOffStart = kBarStart + kBarFeatures;
constexpr int kPipStart = kOffStart + kOffFeatures;
constexpr int kHatWidth = 10;

/// Features of one side; numbers are relative to the side's first.
class SideFeatures {
 public:
  void point(int point, int count) {
    const int start = (point - 1) * kPointFeatures;
    add(start + std::min(count, 6) - 1, 1.0f);
    for (int least = 1; least <= std::min(count, 3); ++least) add(start + 5 + least, 1.0f);
    if (count > 3) add(start + 9, 0.5f * static_cast<float>(count - 3));
  }
  void bar(int count) {
    add(kBarStart + std::min(count, 3) - 1, 1.0f);
    add(kBarStart + 3, 0.5f * static_cast<float>(count));
  }
  void off(int count) {
    for (int least = 1; least <= count; ++least) add(kOffStart + least - 1, 1.0f);
    add(kOffStart + kMaxCheckers, static_cast<float>(count) / kMaxCheckers);
  }
  void pips(int pips) {
    const int capped = std::min(pips, kHatWidth * (kPipFeatures - 1));
    const int left = capped / kHatWidth;
    const float share = static_cast<float>(capped % kHatWidth) / kHatWidth;
    add(kPipStart + left, 1.0f - share);
    if (share > 0.0f) add(kPipStart + left + 1, share);
  }
  [[nodiscard]] std::vector<WeightedFeature> take(int side) && {
    for (WeightedFeature& entry : features_) entry.feature += side * kSideFeatures;
    return std::move(features_);
  }

 private:
  void add(int feature, float weight) { features_.push_back({feature, weight}); }
  std::vector<WeightedFeature> features_;
};

void add_side_rows(const Side& side, int side_index, RowList& rows) noexcept {
  int pips = 0;
  for_each_location(side.bits(), [&](int location) {
    pips += location * side[location];
    rows.push(checkers_row(side_index, location, side[location]));
  });
  rows.push(pips_row(side_index, pips));
}

void add_side_changes(const Side& before, const Side& after, int side_index, int pips,
                      RowChanges& changes) noexcept {
  if (before == after) return;
  int new_pips = pips;
  for_each_location(before.bits() ^ after.bits(), [&](int location) {
    const int old_count = before[location];
    const int new_count = after[location];
    new_pips += location * (new_count - old_count);
    changes.removed.push_if(old_count > 0, checkers_row(side_index, location, old_count));
    changes.added.push_if(new_count > 0, checkers_row(side_index, location, new_count));
  });
  changes.removed.push(pips_row(side_index, pips));
  changes.added.push(pips_row(side_index, new_pips));
}

Row relation_row(std::size_t group, int value) noexcept {
  return static_cast<Row>(kPlacingRows + kFirstRelation[group] + value - 1);
}

}  // namespace

std::vector<WeightedFeature> features_of_row(int row) {
  assert(row >= 0 && row < kRowCount);
  if (row >= kPlacingRows) return {{kPlacingFeatures + row - kPlacingRows, 1.0f}};
  const int side = row / kSideRows;
  const int within = row % kSideRows;
  SideFeatures features;
  if (within >= kLocations * kCounts) {
    features.pips(within - kLocations * kCounts);
  } else if (const int count = within % kCounts; count > 0) {
    const int location = within / kCounts;
    if (location == kOff) {
      features.off(count);
    } else if (location == kBar) {
      features.bar(count);
    } else {
      features.point(location, count);
    }
  }
  return std::move(features).take(side);
}

RowList active_rows(const Position& position) noexcept {
  RowList rows;
  add_side_rows(position.roller, 0, rows);
  add_side_rows(position.opponent, 1, rows);
  const Relations relations = relations_of(position);
  for (std::size_t g = 0; g < relations.size(); ++g) {
    rows.push_if(relations[g] > 0, relation_row(g, relations[g]));
  }
  return rows;
}

RowChanges RowDifference::to(const Position& other) const noexcept {
  RowChanges changes;
  add_side_changes(base_.roller, other.roller, 0, roller_pips_, changes);
  add_side_changes(base_.opponent, other.opponent, 1, opponent_pips_, changes);
  const Relations after = relations_between(
      other.roller == base_.roller ? roller_sets_ : SideSets(other.roller),
      other.opponent == base_.opponent ? opponent_sets_ : SideSets(other.opponent));
  for (std::size_t g = 0; g < after.size(); ++g) {
    if (after[g] == relations_[g]) continue;
    changes.removed.push_if(relations_[g] > 0, relation_row(g, relations_[g]));
    changes.added.push_if(after[g] > 0, relation_row(g, after[g]));
  }
  return changes;
}

}  // namespace sixfold
