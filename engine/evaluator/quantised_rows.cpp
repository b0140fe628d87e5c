#include "evaluator/quantised_rows.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>

#include "base/input_error.h"

namespace sixfold {
namespace {

/// Each row and further term is off by at most half a unit, the bias too; the shift's own rounding
/// adds half of it.
constexpr float rounding_room(int further_terms) {
  return 0.5f * static_cast<float>(static_cast<int>(RowList::kCapacity) + 1 + further_terms) +
         (1 << (kMostShift - 1));
}
constexpr float kInt16Most = 32767.0f;
constexpr float kExactIntegers = 16777216.0f;  // 2^24

/// Rows too large for it wrap round: they are those that others cancel, so that sums come out
/// right.
std::int16_t to_int16(float value) { return static_cast<std::int16_t>(std::lrint(value)); }

bool is_finite(const std::vector<float>& values) {
  return std::all_of(values.begin(), values.end(),
                     [](float value) { return std::isfinite(value); });
}

/// Adds to `reach` the largest sum, over placings of up to 15 of a side's checkers, of sign * rows.
void add_side_reach(const std::vector<float>& rows, std::size_t hidden, int side, float sign,
                    std::vector<float>& reach) {
  const auto row_at = [&](Row row) { return rows.data() + row * hidden; };
  // best[c * H + h]: the largest sum with c checkers placed on the locations seen so far.
  std::vector<float> best(kCounts * hidden, 0.0f);
  for (int location = 0; location < kLocations; ++location) {
    for (int placed = kMaxCheckers; placed >= 1; --placed) {
      float* const out = best.data() + static_cast<std::size_t>(placed) * hidden;
      for (int count = 1; count <= placed; ++count) {
        const float* const row = row_at(checkers_row(side, location, count));
        const float* const rest = best.data() + static_cast<std::size_t>(placed - count) * hidden;
        for (std::size_t h = 0; h < hidden; ++h) {
          out[h] = std::max(out[h], rest[h] + sign * row[h]);
        }
      }
    }
  }
  std::vector<float> pips(hidden, -std::numeric_limits<float>::infinity());
  for (int total = 0; total < kPipTotals; ++total) {
    const float* const row = row_at(pips_row(side, total));
    for (std::size_t h = 0; h < hidden; ++h) pips[h] = std::max(pips[h], sign * row[h]);
  }
  for (std::size_t h = 0; h < hidden; ++h) {
    float most = 0.0f;
    for (std::size_t c = 0; c < kCounts; ++c) most = std::max(most, best[c * hidden + h]);
    reach[h] += most + pips[h];
  }
}

/// Adds the largest sum of one row or none of each group of relations.
void add_relations_reach(const std::vector<float>& rows, std::size_t width, float sign,
                         std::vector<float>& reach) {
  for (std::size_t group = 0; group < kRelationGroups; ++group) {
    std::vector<float> most(width, 0.0f);
    for (int i = kFirstRelation[group]; i < kFirstRelation[group + 1]; ++i) {
      const float* const row = rows.data() + static_cast<std::size_t>(kPlacingRows + i) * width;
      for (std::size_t h = 0; h < width; ++h) most[h] = std::max(most[h], sign * row[h]);
    }
    for (std::size_t h = 0; h < width; ++h) reach[h] += most[h];
  }
}

float largest_of(const std::vector<float>& values) {
  float largest = 0.0f;
  for (const float value : values) largest = std::max(largest, std::abs(value));
  return largest;
}

}  // namespace

std::vector<float> reach_of_units(const std::vector<float>& bias, const std::vector<float>& rows) {
  const std::size_t width = bias.size();
  std::vector<float> reach(width, 0.0f);
  for (const float sign : {1.0f, -1.0f}) {
    std::vector<float> one(width);
    for (std::size_t h = 0; h < width; ++h) one[h] = sign * bias[h];
    for (int side = 0; side < kSideCount; ++side) add_side_reach(rows, width, side, sign, one);
    add_relations_reach(rows, width, sign, one);
    for (std::size_t h = 0; h < width; ++h) reach[h] = std::max(reach[h], one[h]);
  }
  return reach;
}

QuantisedRows::QuantisedRows(const std::vector<float>& first, const std::vector<float>& bias,
                             const std::string& name, const FurtherTerms& further) {
  assert(is_finite(first) && is_finite(bias));
  table_.width = bias.size();
  const std::vector<float> rows = baked_rows(first, table_.width);
  std::vector<float> reach = reach_of_units(bias, rows);
  for (std::size_t h = 0; h < further.reach.size(); ++h) reach[h] += further.reach[h];
  const float most = *std::max_element(reach.begin(), reach.end());
  const float room = (kInt16Most - rounding_room(further.most)) / kActivationScale;
  if (!(most <= room)) {
    throw InputError("the " + name + " network's weights are too large: a hidden unit reaches " +
                         std::to_string(most),
                     "network", "at most " + std::to_string(room));
  }
  while (table_.shift < kMostShift && most * static_cast<float>(2 << table_.shift) <= room) {
    ++table_.shift;
  }
  // Rows may cancel one another, but each must still be an exact integer as a float.
  const float scale = kActivationScale * static_cast<float>(1 << table_.shift);
  const float largest = std::max(largest_of(rows), largest_of(bias));
  if (largest > kExactIntegers / scale) {
    throw InputError("the " + name + " network's largest row is " + std::to_string(largest),
                     "network", "at most " + std::to_string(kExactIntegers / scale));
  }
  rows_ = AlignedArray<std::int16_t>(rows.size());
  for (std::size_t i = 0; i < rows.size(); ++i) rows_[i] = quantised(rows[i]);
  for (std::size_t h = 0; h < table_.width; ++h) empty_.sums[h] = to_int16(bias[h] * scale);
  table_.rows = rows_.data();
}

std::int16_t QuantisedRows::quantised(float weight) const noexcept {
  return to_int16(weight * (kActivationScale * static_cast<float>(1 << table_.shift)));
}

QuantisedDense quantise_dense(const std::vector<float>& weights, std::size_t inputs,
                              std::size_t outputs) {
  assert(outputs % kSecondUnits == 0 && inputs % 4 == 0);
  QuantisedDense dense{AlignedArray<std::int8_t>(inputs * outputs), std::vector<float>(outputs)};
  for (std::size_t o = 0; o < outputs; ++o) {
    float largest = 1e-6f;
    for (std::size_t i = 0; i < inputs; ++i) {
      largest = std::max(largest, std::abs(weights[i * outputs + o]));
    }
    const float scale = 127.0f / largest;
    const std::size_t block = o / kSecondUnits * kSecondUnits * inputs;
    for (std::size_t i = 0; i < inputs; ++i) {
      dense.weights[block + (i / 4 * kSecondUnits + o % kSecondUnits) * 4 + i % 4] =
          static_cast<std::int8_t>(std::lrint(weights[i * outputs + o] * scale));
    }
    dense.scale[o] = 1.0f / (scale * kActivationScale);
  }
  return dense;
}

void require_finite(const std::vector<float>& values, const std::string& name) {
  if (is_finite(values)) return;
  throw InputError("the " + name + " is not finite", "network", "finite weights");
}

}  // namespace sixfold
