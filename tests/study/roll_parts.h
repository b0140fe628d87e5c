/// Parts by roll made by hand, for tests of study and of report.
#pragma once

#include <array>

#include "rollout/first_rolls.h"
#include "rollout/statistics.h"
#include "rules/notation.h"

namespace sixfold {

using RollParts = std::array<Estimate, kRollCount>;

inline Estimate estimate_of(double mean, double half_width) {
  return {mean, 0.5 * half_width, half_width, 100};
}
inline RollParts even_parts(double mean, double half_width) {
  RollParts parts;
  parts.fill(estimate_of(mean, half_width));
  return parts;
}
inline RollParts by_probability(double sum, double half_width) {
  RollParts parts;
  for (std::size_t r = 0; r < kRollCount; ++r) {
    parts[r] = estimate_of(sum * roll_probability(r), half_width);
  }
  return parts;
}
inline void set(RollParts& parts, const char* dice, double mean, double half_width) {
  parts[static_cast<std::size_t>(parse_roll(dice).index())] = estimate_of(mean, half_width);
}

}  // namespace sixfold
