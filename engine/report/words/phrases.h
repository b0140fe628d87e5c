/// Parts that sentences have in common.
///
/// Pure functions; safe to use from any thread.
#pragma once

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include "base/format.h"
#include "rollout/statistics.h"

namespace sixfold {

/// "0.050 ± 0.012", without a sign.
[[nodiscard]] inline std::string interval_words(const Estimate& estimate) {
  return format("{:.3f} ± {:.3f}", std::abs(estimate.mean), estimate.half_width);
}

/// "1,234,567"
[[nodiscard]] inline std::string count_words(std::uint64_t count) {
  std::string text = std::to_string(count);
  for (std::size_t at = text.size(); at > 3;) text.insert(at -= 3, ",");
  return text;
}

/// "a, b and c".
[[nodiscard]] inline std::string joined(const std::vector<std::string>& parts) {
  std::string text;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    text += (i == 0 ? "" : i + 1 == parts.size() ? " and " : ", ") + parts[i];
  }
  return text;
}

}  // namespace sixfold
