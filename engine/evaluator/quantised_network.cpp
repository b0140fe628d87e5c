#include "evaluator/quantised_network.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <string>

namespace sixfold {
namespace {

constexpr double kInt16Most = 32767.0;
constexpr double kInt32Most = 2147483647.0;

const Network& checked(const Network& network, const char* name) {
  for_each_array(
      network, [&](const char* array, const std::vector<float>& values, std::size_t, std::size_t) {
        require_finite(values, std::string(name) + " network's " + array);
      });
  return network;
}

/// Column `c` of `weights`, H x columns, as integers in `out`, H/2 x lanes x 2; returns what one of
/// their units is worth.
float quantise_column(const std::vector<float>& weights, std::size_t columns, std::size_t c,
                      std::int16_t* out, std::size_t lanes) {
  const std::size_t hidden = weights.size() / columns;
  double largest = 1e-6;
  double sum = 0.0;
  for (std::size_t h = 0; h < hidden; ++h) {
    const double size = std::abs(static_cast<double>(weights[h * columns + c]));
    largest = std::max(largest, size);
    sum += size;
  }
  // Rounding adds up to half a unit to each weight.
  const double room = kInt32Most / kSquareSteps - 0.5 * static_cast<double>(hidden);
  const double scale = std::min(kInt16Most / largest, room / std::max(sum, largest));
  for (std::size_t h = 0; h < hidden; ++h) {
    const double weight = static_cast<double>(weights[h * columns + c]) * scale;
    out[(h / 2 * lanes + c) * 2 + h % 2] = static_cast<std::int16_t>(std::lrint(weight));
  }
  return static_cast<float>(1.0 / (scale * kSquareSteps));
}

}  // namespace

QuantisedNetwork::QuantisedNetwork(const Network& network, const char* name, const CubeHead* cube)
    : rows_(checked(network, name).first, network.first_bias, name),
      second_(network.second_weights.size()),
      second_scale_(kSecondUnits),
      second_bias_(kSecondUnits),
      heads_(wide_rows(network.head_weights, 1)) {
  quantise_second(network);
  std::copy(network.second_bias.begin(), network.second_bias.end(), second_bias_.data());
  float* const head_bias = heads_.data() + kSecondUnits * kHeadWidth;
  std::copy(network.head_bias.begin(), network.head_bias.end(), head_bias);
  weights_ = {rows_.table(),       second_.data(), second_scale_.data(),
              second_bias_.data(), heads_.data(),  head_bias};
  if (cube != nullptr) quantise_cube(*cube, name);
}

void QuantisedNetwork::quantise_second(const Network& network) {
  for (std::size_t s = 0; s < kSecondUnits; ++s) {
    second_scale_[s] =
        quantise_column(network.second_weights, kSecondUnits, s, second_.data(), kSecondUnits);
  }
}

void QuantisedNetwork::quantise_cube(const CubeHead& head, const char* name) {
  assert(static_cast<std::size_t>(head.hidden) == rows_.table().width);
  for_each_head_array(
      head, [&](const char* array, const std::vector<float>& values, std::size_t, std::size_t) {
        require_finite(values, std::string(name) + " network's cube " + array);
      });
  const std::size_t size = static_cast<std::size_t>(head.hidden) * kLifeLanes;
  lives_ = AlignedArray<std::int16_t>(size);
  std::fill_n(lives_.data(), size, std::int16_t{0});
  for (std::size_t l = 0; l < kLifeCount; ++l) {
    weights_.cube.scale[l] =
        quantise_column(head.hidden_weights, kLifeCount, l, lives_.data(), kLifeLanes);
  }
  shapes_ = head.shape_weights;
  weights_.cube.hidden = lives_.data();
  weights_.cube.shapes = shapes_.data();
}

AlignedArray<float> wide_rows(const std::vector<float>& weights, std::size_t further) {
  const std::size_t rows = weights.size() / kOutcomeCount;
  AlignedArray<float> wide((rows + further) * kHeadWidth);
  std::fill_n(wide.data(), (rows + further) * kHeadWidth, 0.0f);
  for (std::size_t row = 0; row < rows; ++row) {
    std::copy_n(weights.begin() + static_cast<std::ptrdiff_t>(row * kOutcomeCount), kOutcomeCount,
                wide.data() + row * kHeadWidth);
  }
  return wide;
}

}  // namespace sixfold
