#include "encoding/features.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <map>
#include <random>
#include <set>
#include <string>
#include <vector>

#include "oracles/features_oracle.h"
#include "oracles/random_positions.h"
#include "rules/notation.h"
#include "rules/plays.h"
#include "rules/start.h"

namespace sixfold {
namespace {

constexpr int kRoller = 0;
constexpr int kOpponent = 1;

using Weights = std::map<int, double>;

/// A row's features; each may be named once only.
Weights weights_of(int row) {
  Weights weights;
  for (const WeightedFeature& entry : features_of_row(row)) {
    const bool is_new = weights.emplace(entry.feature, static_cast<double>(entry.weight)).second;
    CHECK(is_new);
  }
  return weights;
}

void check_row(int row, const Weights& expected) {
  const Weights weights = weights_of(row);
  INFO("row " << row);
  REQUIRE(weights.size() == expected.size());
  for (auto found = weights.begin(), wanted = expected.begin(); found != weights.end();
       ++found, ++wanted) {
    CHECK(found->first == wanted->first);
    CHECK(found->second == Approx(wanted->second).margin(1e-6));
  }
}

Row row_of_feature(int feature) { return static_cast<Row>(kPlacingRows + feature - 562); }

std::vector<Row> sorted(const RowList& rows) {
  std::vector<Row> copy(rows.begin(), rows.end());
  std::sort(copy.begin(), copy.end());
  return copy;
}

std::vector<Row> difference(const std::vector<Row>& from, const std::vector<Row>& what) {
  std::vector<Row> rest;
  std::set_difference(from.begin(), from.end(), what.begin(), what.end(), std::back_inserter(rest));
  return rest;
}

std::vector<Row> sum(const std::vector<Row>& a, const std::vector<Row>& b) {
  std::vector<Row> both;
  std::merge(a.begin(), a.end(), b.begin(), b.end(), std::back_inserter(both));
  return both;
}

std::vector<double> features_by_rows(const Position& position) {
  std::vector<double> features(kFeatureCount, 0.0);
  for (const Row row : active_rows(position)) {
    for (const WeightedFeature& entry : features_of_row(row)) {
      features[static_cast<std::size_t>(entry.feature)] += static_cast<double>(entry.weight);
    }
  }
  return features;
}

}  // namespace

TEST_CASE("rows of checkers on a point have the features of the table") {
  check_row(checkers_row(kRoller, 1, 1), {{0, 1}, {6, 1}});
  check_row(checkers_row(kRoller, 24, 2), {{231, 1}, {236, 1}, {237, 1}});
  check_row(checkers_row(kRoller, 8, 3), {{72, 1}, {76, 1}, {77, 1}, {78, 1}});
  check_row(checkers_row(kRoller, 3, 4), {{23, 1}, {26, 1}, {27, 1}, {28, 1}, {29, 0.5}});
  check_row(checkers_row(kRoller, 6, 5), {{54, 1}, {56, 1}, {57, 1}, {58, 1}, {59, 1}});
  check_row(checkers_row(kRoller, 13, 6), {{125, 1}, {126, 1}, {127, 1}, {128, 1}, {129, 1.5}});
  check_row(checkers_row(kRoller, 13, 15), {{125, 1}, {126, 1}, {127, 1}, {128, 1}, {129, 6}});
  check_row(checkers_row(kOpponent, 1, 2), {{282, 1}, {287, 1}, {288, 1}});
  check_row(checkers_row(kOpponent, 24, 7), {{516, 1}, {517, 1}, {518, 1}, {519, 1}, {520, 2}});
}

TEST_CASE("rows of checkers on the bar have the features of the table") {
  check_row(checkers_row(kRoller, kBar, 1), {{240, 1}, {243, 0.5}});
  check_row(checkers_row(kRoller, kBar, 2), {{241, 1}, {243, 1}});
  check_row(checkers_row(kRoller, kBar, 3), {{242, 1}, {243, 1.5}});
  check_row(checkers_row(kRoller, kBar, 15), {{242, 1}, {243, 7.5}});
  check_row(checkers_row(kOpponent, kBar, 1), {{521, 1}, {524, 0.5}});
}

TEST_CASE("rows of checkers borne off have the features of the table") {
  check_row(checkers_row(kRoller, kOff, 1), {{244, 1}, {259, 1.0 / 15}});
  check_row(checkers_row(kOpponent, kOff, 3), {{525, 1}, {526, 1}, {527, 1}, {540, 3.0 / 15}});
  Weights all{{259, 1}};
  for (int feature = 244; feature <= 258; ++feature) all[feature] = 1;
  check_row(checkers_row(kRoller, kOff, 15), all);
}

TEST_CASE("rows of pips have the features of the table") {
  check_row(pips_row(kRoller, 0), {{260, 1}});
  check_row(pips_row(kRoller, 7), {{260, 0.3}, {261, 0.7}});
  check_row(pips_row(kRoller, 10), {{261, 1}});
  check_row(pips_row(kRoller, 167), {{276, 0.3}, {277, 0.7}});
  check_row(pips_row(kRoller, 199), {{279, 0.1}, {280, 0.9}});
  check_row(pips_row(kRoller, 200), {{280, 1}});
  check_row(pips_row(kRoller, 375), {{280, 1}});
  check_row(pips_row(kOpponent, 1), {{541, 0.9}, {542, 0.1}});
  check_row(pips_row(kOpponent, 201), {{561, 1}});
}

TEST_CASE("rows of no checkers have no features") {
  for (int side = 0; side < kSideCount; ++side) {
    for (int location = 0; location < kLocations; ++location) {
      check_row(checkers_row(side, location, 0), {});
    }
  }
}

TEST_CASE("rows are numbered without gaps or overlaps") {
  std::set<int> rows;
  for (int side = 0; side < kSideCount; ++side) {
    for (int location = 0; location < kLocations; ++location) {
      for (int count = 0; count <= kMaxCheckers; ++count) {
        rows.insert(checkers_row(side, location, count));
      }
    }
    for (int pips = 0; pips <= kMaxCheckers * kBar; ++pips) rows.insert(pips_row(side, pips));
  }
  CHECK(rows.size() == 2 * (26 * 16 + 376));
  CHECK(*rows.begin() == 0);
  CHECK(*rows.rbegin() == kPlacingRows - 1);
  CHECK(rows.size() == kPlacingRows);
  CHECK(kRowCount == kPlacingRows + 4 * 36 + 4 * 63);
}

TEST_CASE("every feature belongs to some row of its own side and to no other's") {
  std::set<int> used;
  for (int row = 0; row < kRowCount; ++row) {
    for (const auto& [feature, weight] : weights_of(row)) {
      CHECK(weight > 0.0);
      if (row < kPlacingRows) {
        CHECK(feature / 281 == row / kSideRows);
      } else {
        CHECK(feature - 562 == row - kPlacingRows);
      }
      used.insert(feature);
    }
  }
  CHECK(used.size() == kFeatureCount);
  CHECK(*used.begin() == 0);
  CHECK(*used.rbegin() == kFeatureCount - 1);
}

TEST_CASE("the start position activates its stacks, its pips, home points and blocks") {
  std::vector<Row> expected;
  for (const int side : {kRoller, kOpponent}) {
    expected.push_back(checkers_row(side, 6, 5));
    expected.push_back(checkers_row(side, 8, 3));
    expected.push_back(checkers_row(side, 13, 5));
    expected.push_back(checkers_row(side, 24, 2));
    expected.push_back(pips_row(side, 167));
  }
  for (const int first : {562 + 4 * 36, 562 + 4 * 36 + 63}) {
    expected.push_back(row_of_feature(first + 1));  // the sixth point of the other side, 5 in front
  }
  for (const int first : {562 + 4 * 36 + 2 * 63, 562 + 4 * 36 + 3 * 63}) {
    expected.push_back(row_of_feature(first + 31));  // the 6 point alone
  }
  CHECK(sorted(active_rows(start_position())) == expected);
}

TEST_CASE("a position spread over the whole board has room for its rows") {
  Side side;
  for (int point = 1; point <= 12; ++point) side.add(point, 1);
  side.add(kBar, 1);
  side.add(kOff, 2);
  const RowList rows = active_rows({side, side});
  // Both can hit the other at home (by entering) and elsewhere.
  CHECK(rows.size() == 2 * (12 + 1 + 1 + 1) + 4);
  CHECK(rows.size() <= RowList::kCapacity);
}

TEST_CASE("the features of a position's rows are those of the position") {
  std::mt19937_64 random(1);
  for (int i = 0; i < 2000; ++i) {
    const Position position = oracle::random_position(random, i % kMaxCheckers + 1);
    const std::vector<double> found = features_by_rows(position);
    const std::vector<double> expected = oracle::features(position);
    REQUIRE(expected.size() == found.size());
    for (std::size_t f = 0; f < found.size(); ++f) {
      if (std::abs(found[f] - expected[f]) < 1e-6) continue;
      FAIL(position_text(position)
           << ": feature " << f << " is " << found[f] << ", not " << expected[f]);
    }
  }
}

TEST_CASE("what a play changes is the difference of the rows before and after") {
  std::mt19937_64 random(2);
  PlayList plays;
  std::size_t compared = 0;
  std::size_t unchanged = 0;
  for (int i = 0; i < 400; ++i) {
    const Position parent = oracle::random_position(random, i % 3 == 0 ? i % 15 + 1 : 15);
    const Position base = swapped(parent);
    const RowDifference from_base(base);
    const std::vector<Row> before = sorted(active_rows(base));
    for (const Roll roll : kRolls) {
      generate_plays(parent, roll, plays);
      for (const PlayKey play : plays) {
        const Position child = position_after(parent, play);
        const std::vector<Row> after = sorted(active_rows(child));
        const RowChanges changes = from_base.to(child);
        if (sorted(changes.removed) != difference(before, after) ||
            sorted(changes.added) != difference(after, before)) {
          FAIL(position_text(parent) << " to " << position_text(child));
        }
        ++compared;
        unchanged += child == base ? 1u : 0u;
      }
    }
  }
  CHECK(compared > 50'000);
  CHECK(unchanged > 100);
}

TEST_CASE("the changes between any two positions turn the rows of one into those of the other") {
  std::mt19937_64 random(3);
  for (int i = 0; i < 3000; ++i) {
    const Position first = oracle::random_position(random, 15);
    const Position second = oracle::random_position(random, 15);
    const RowChanges changes = RowDifference(first).to(second);
    const std::vector<Row> before = sorted(active_rows(first));
    const std::vector<Row> after = sorted(active_rows(second));
    if (sum(before, sorted(changes.added)) != sum(after, sorted(changes.removed))) {
      FAIL(position_text(first) << " to " << position_text(second));
    }
  }
}

}  // namespace sixfold
