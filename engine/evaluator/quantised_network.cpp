#include "evaluator/quantised_network.h"

#include <algorithm>
#include <string>

namespace sixfold {
namespace {

const Network& checked(const Network& network, const char* name) {
  for_each_array(
      network, [&](const char* array, const std::vector<float>& values, std::size_t, std::size_t) {
        require_finite(values, std::string(name) + " network's " + array);
      });
  return network;
}

}  // namespace

QuantisedNetwork::QuantisedNetwork(const Network& network, const char* name)
    : rows_(checked(network, name).first, network.first_bias, name),
      second_(quantise_dense(network.second_weights, static_cast<std::size_t>(network.hidden),
                             kSecondUnits)),
      second_bias_(kSecondUnits),
      heads_(wide_rows(network.head_weights, 1)) {
  std::copy(network.second_bias.begin(), network.second_bias.end(), second_bias_.data());
  float* const head_bias = heads_.data() + kSecondUnits * kHeadWidth;
  std::copy(network.head_bias.begin(), network.head_bias.end(), head_bias);
  weights_ = {rows_.table(),       second_.weights.data(), second_.scale.data(),
              second_bias_.data(), heads_.data(),          head_bias};
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
