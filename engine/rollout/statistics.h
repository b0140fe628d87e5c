/// Means with honest errors from independent blocks.
#pragma once

#include <cstddef>
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

/// The same for Student's t with `degrees` >= 1 degrees of freedom.
[[nodiscard]] double student_quantile(double probability, std::uint64_t degrees);

/// Mean of independent, identically distributed block values: standard error from their spread, the
/// half-width by Student's t with one degree of freedom fewer than blocks. With a single block the
/// errors are infinite. REQUIRES: not empty; 0 < confidence < 1.
[[nodiscard]] Estimate estimate_from_blocks(std::span<const double> blocks, double confidence);
/// The same in two steps, for many means of as many blocks: the quantile takes longer than the
/// rest.
[[nodiscard]] double block_quantile(std::size_t blocks, double confidence);
[[nodiscard]] Estimate estimate_by_quantile(std::span<const double> blocks, double quantile);

/// estimate_from_blocks for the probability of an outcome of trials, of which `block_trials` make a
/// block. `luck` is what was taken out of each block. Where the outcome is so rare (or so common)
/// that few trials can have shown it, the spread of the blocks says little: a sample without a
/// single case has none. There the half-width is at least the longer arm of Wilson's interval for a
/// share of independent trials, shortened by as much of a case's variance as luck explains: without
/// luck control not at all. Such intervals cover more often than they say, rather than less. With
/// more cases the half-width grows by what a case's standard deviation would, were the centre of
/// Wilson's interval the share: samples that happen to hold few cases show too little spread.
/// Source: Wilson E., Probable inference, the law of succession, and statistical inference, JASA
/// 22(158), 1927. REQUIRES: as above, as many values of luck as blocks.
[[nodiscard]] Estimate probability_from_blocks(std::span<const double> blocks,
                                               std::span<const double> luck,
                                               std::uint64_t block_trials, double confidence);

/// estimate_from_blocks for the differences of two plays on common dice; `luck` is the difference
/// of what was taken out. Where whole blocks differ alike, trials that differ are rare; there the
/// half-width is at least the same arm, of the share of such trials, times `jump`, what one of them
/// is worth. REQUIRES: as above.
[[nodiscard]] Estimate difference_from_blocks(std::span<const double> differences,
                                              std::span<const double> luck, double jump,
                                              std::uint64_t block_trials, double confidence);

/// estimate_from_blocks for an equity that may take few values: where more than half of the blocks
/// come to the same, with the same care. REQUIRES: as above.
[[nodiscard]] Estimate equity_from_blocks(std::span<const double> blocks,
                                          std::span<const double> luck, double jump,
                                          std::uint64_t block_trials, double confidence);

}  // namespace sixfold
