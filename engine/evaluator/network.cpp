#include "evaluator/network.h"

#include <cassert>

namespace sixfold {

Network zero_network(int hidden) {
  assert(hidden % kHiddenStep == 0 && hidden <= kMaxHidden);
  Network network;
  network.hidden = hidden;
  for_each_array(network, [](const char*, std::vector<float>& values, std::size_t rows,
                             std::size_t columns) { values.assign(rows * columns, 0.0f); });
  return network;
}

std::vector<float> baked_rows(const std::vector<float>& first, std::size_t width) {
  std::vector<float> rows(kRowCount * width, 0.0f);
  for (int row = 0; row < kRowCount; ++row) {
    float* const out = rows.data() + static_cast<std::size_t>(row) * width;
    for (const WeightedFeature& entry : features_of_row(row)) {
      const float* const in = first.data() + static_cast<std::size_t>(entry.feature) * width;
      for (std::size_t h = 0; h < width; ++h) out[h] += entry.weight * in[h];
    }
  }
  return rows;
}

}  // namespace sixfold
