/// Means with honest errors from independent blocks.
#pragma once

#include <cstdint>
#include <span>

namespace sixfold {

/// A mean with its uncertainty. A regular value.
struct Estimate {
  double mean = 0.0;
  double standard_error = 0.0;
  double half_width = 0.0;   ///< At the confidence level asked for.
  std::uint64_t blocks = 0;  ///< Independent blocks behind it.
  friend bool operator==(const Estimate&, const Estimate&) = default;
};

/// The value that a standard normal variable stays below with this probability.
/// REQUIRES: 0 < probability < 1.
[[nodiscard]] double normal_quantile(double probability);

/// The same for Student's t with `degrees` >= 1 degrees of freedom. Accurate to about 1e-8
/// relative.
[[nodiscard]] double student_quantile(double probability, std::uint64_t degrees);

/// Mean of independent, identically distributed block values: standard error from their spread, the
/// half-width by Student's t with one degree of freedom fewer than blocks. With a single block the
/// errors are infinite. REQUIRES: not empty; 0 < confidence < 1.
[[nodiscard]] Estimate estimate_from_blocks(std::span<const double> blocks, double confidence);

}  // namespace sixfold
