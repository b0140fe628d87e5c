#include "evaluator/quantised_network.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <string>

#include "rules/input_error.h"

namespace sixfold {
namespace {

constexpr float kActivationScale = 127.0f;
constexpr int kMostShift = 8;
/// Each row is off by at most half a unit, the bias too; the shift's own rounding adds half of it.
constexpr float kRoundingRoom = 0.5f * (RowList::kCapacity + 1) + (1 << (kMostShift - 1));
constexpr float kInt16Most = 32767.0f;
constexpr float kExactIntegers = 16777216.0f;  // 2^24

std::int16_t to_int16(float value) { return static_cast<std::int16_t>(std::lrint(value)); }

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

float largest_of(const std::vector<float>& values) {
  float largest = 0.0f;
  for (const float value : values) largest = std::max(largest, std::abs(value));
  return largest;
}

void require_finite(const Network& network, const char* name) {
  for_each_array(
      network, [&](const char* array, const std::vector<float>& values, std::size_t, std::size_t) {
        const auto finite = [](float value) { return std::isfinite(value); };
        if (std::all_of(values.begin(), values.end(), finite)) return;
        throw InputError(std::string("the ") + name + " network's " + array + " is not finite",
                         "network", "finite weights");
      });
}

}  // namespace

std::vector<float> reach_of_units(const Network& network, const std::vector<float>& rows) {
  const auto hidden = static_cast<std::size_t>(network.hidden);
  std::vector<float> reach(hidden, 0.0f);
  for (const float sign : {1.0f, -1.0f}) {
    std::vector<float> one(hidden);
    for (std::size_t h = 0; h < hidden; ++h) one[h] = sign * network.first_bias[h];
    for (int side = 0; side < kSideCount; ++side) add_side_reach(rows, hidden, side, sign, one);
    for (std::size_t h = 0; h < hidden; ++h) reach[h] = std::max(reach[h], one[h]);
  }
  return reach;
}

QuantisedNetwork::QuantisedNetwork(const Network& network, const char* name) {
  require_finite(network, name);
  const std::vector<float> rows = baked_rows(network);
  const std::vector<float> reach = reach_of_units(network, rows);
  const float most = *std::max_element(reach.begin(), reach.end());
  const float room = (kInt16Most - kRoundingRoom) / kActivationScale;
  if (!(most <= room)) {
    throw InputError(std::string("the ") + name +
                         " network's weights are too large: a hidden unit " + "reaches " +
                         std::to_string(most),
                     "network", "at most " + std::to_string(room));
  }
  int shift = 0;
  while (shift < kMostShift && most * static_cast<float>(2 << shift) <= room) ++shift;
  // Rows may cancel one another, but each must still be an exact integer as a float.
  const float exact = kExactIntegers / (kActivationScale * static_cast<float>(1 << shift));
  const float largest = std::max(largest_of(rows), largest_of(network.first_bias));
  if (largest > exact) {
    throw InputError(
        std::string("the ") + name + " network's largest row is " + std::to_string(largest),
        "network", "at most " + std::to_string(exact));
  }
  weights_.hidden = static_cast<std::size_t>(network.hidden);
  weights_.shift = shift;
  quantise_first(network, rows);
  quantise_second(network);
  copy_heads(network);
}

void QuantisedNetwork::quantise_first(const Network& network, const std::vector<float>& rows) {
  const float scale = kActivationScale * static_cast<float>(1 << weights_.shift);
  rows_ = AlignedArray<std::int16_t>(rows.size());
  for (std::size_t i = 0; i < rows.size(); ++i) rows_[i] = to_int16(rows[i] * scale);
  const int half = weights_.shift == 0 ? 0 : 1 << (weights_.shift - 1);
  for (std::size_t h = 0; h < weights_.hidden; ++h) {
    empty_.sums[h] = to_int16(network.first_bias[h] * scale + static_cast<float>(half));
  }
  weights_.rows = rows_.data();
}

void QuantisedNetwork::quantise_second(const Network& network) {
  const std::size_t hidden = weights_.hidden;
  second_ = AlignedArray<std::int8_t>(hidden * kSecondUnits);
  tail_ = AlignedArray<float>(2 * kSecondUnits + (kSecondUnits + 1) * kHeadWidth);
  float* const scales = tail_.data();
  for (std::size_t s = 0; s < kSecondUnits; ++s) {
    float largest = 1e-6f;
    for (std::size_t h = 0; h < hidden; ++h) {
      largest = std::max(largest, std::abs(network.second_weights[h * kSecondUnits + s]));
    }
    const float scale = 127.0f / largest;
    for (std::size_t h = 0; h < hidden; ++h) {
      const float weight = network.second_weights[h * kSecondUnits + s];
      second_[(h / 4 * kSecondUnits + s) * 4 + h % 4] =
          static_cast<std::int8_t>(std::lrint(weight * scale));
    }
    scales[s] = 1.0f / (scale * kActivationScale);
    scales[kSecondUnits + s] = network.second_bias[s];
  }
  weights_.second = second_.data();
  weights_.second_scale = scales;
  weights_.second_bias = scales + kSecondUnits;
}

void QuantisedNetwork::copy_heads(const Network& network) {
  float* const weights = tail_.data() + 2 * kSecondUnits;
  float* const bias = weights + kSecondUnits * kHeadWidth;
  std::fill(weights, bias + kHeadWidth, 0.0f);
  for (std::size_t s = 0; s < kSecondUnits; ++s) {
    std::copy_n(network.head_weights.begin() + static_cast<std::ptrdiff_t>(s * kOutcomeCount),
                kOutcomeCount, weights + s * kHeadWidth);
  }
  std::copy(network.head_bias.begin(), network.head_bias.end(), bias);
  weights_.head_weights = weights;
  weights_.head_bias = bias;
}

}  // namespace sixfold
