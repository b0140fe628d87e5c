// The middle of some values.
#pragma once

#include <algorithm>
#include <cstddef>
#include <vector>

namespace sixfold {

// The mean of the middle two of an even number. REQUIRES: there is a value.
[[nodiscard]] inline double median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  const std::size_t half = values.size() / 2;
  return values.size() % 2 == 1 ? values[half] : 0.5 * (values[half - 1] + values[half]);
}

}  // namespace sixfold
