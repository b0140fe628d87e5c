#include "rollout/statistics.h"

#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <cassert>
#include <cmath>
#include <limits>
#include <optional>
#include <vector>

namespace sixfold {
namespace {

/// With fewer cases than this the spread of the blocks says too little.
constexpr double kFewCases = 20.0;

/// Wilson's interval for the share of cases among independent trials.
struct WilsonInterval {
  WilsonInterval(double found, double trials, double confidence) {
    const double share = std::clamp(found, 0.0, 1.0);
    const double z = normal_quantile(0.5 + 0.5 * confidence);
    centre = (trials * share + 0.5 * z * z) / (trials + z * z);
    arm = std::abs(centre - share) +
          z * std::sqrt(trials * share * (1.0 - share) + 0.25 * z * z) / (trials + z * z);
    skew = std::sqrt(centre * (1.0 - centre) / std::max(share * (1.0 - share), 0.5 / trials));
  }
  /// Of the rarer kind, as the centre has it.
  [[nodiscard]] double cases(double trials) const {
    return trials * std::min(centre, 1.0 - centre);
  }

  double centre;
  double arm;   ///< The longer one, from the share found.
  double skew;  ///< A case's standard deviation, were the centre the share, over that found.
};

/// The variance of one trial's luck, whose mean is zero by construction.
double trial_variance(std::span<const double> luck, std::uint64_t block_trials) {
  double sum = 0.0;
  for (const double value : luck) sum += value * value;
  return sum * static_cast<double>(block_trials) / static_cast<double>(luck.size());
}

/// The share of the variance of cases, worth `jump` each, that luck leaves unexplained.
double unexplained_share(const WilsonInterval& wilson, double luck_variance, double jump) {
  return std::max(0.0, 1.0 - luck_variance / (jump * jump * wilson.centre * (1.0 - wilson.centre)));
}

/// Sums of the same outcomes may differ by a rounding.
constexpr double kSame = 1e-9;

/// What more than half of the blocks come to before luck is taken out.
std::optional<double> usual_result(std::span<const double> blocks, std::span<const double> luck) {
  std::vector<double> results;
  for (std::size_t i = 0; i < blocks.size(); ++i) results.push_back(blocks[i] + luck[i]);
  const auto middle = results.begin() + static_cast<std::ptrdiff_t>(results.size() / 2);
  std::nth_element(results.begin(), middle, results.end());
  const double median = *middle;
  const auto same = std::count_if(results.begin(), results.end(), [&](double result) {
    return std::abs(result - median) <= kSame;
  });
  if (2 * static_cast<std::size_t>(same) <= results.size()) return std::nullopt;
  return median;
}

/// Where most blocks come to the same, trials that don't are rare: the half-width is at least
/// Wilson's arm of their share, times what one of them is worth.
Estimate guarded(Estimate estimate, double usual, std::span<const double> blocks,
                 std::span<const double> luck, double jump, std::uint64_t block_trials,
                 double confidence) {
  std::size_t differing = 0;
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    if (std::abs(blocks[i] + luck[i] - usual) > kSame) ++differing;
  }
  if (differing == blocks.size()) return estimate;
  const auto trials = static_cast<double>(blocks.size() * block_trials);
  const WilsonInterval wilson(static_cast<double>(differing) / trials, trials, confidence);
  const double unexplained = unexplained_share(wilson, trial_variance(luck, block_trials), jump);
  if (wilson.cases(trials) < kFewCases * unexplained) {
    estimate.half_width = std::max(estimate.half_width, std::sqrt(unexplained) * jump * wilson.arm);
  }
  return estimate;
}

}  // namespace

double normal_quantile(double probability) {
  assert(probability > 0.0 && probability < 1.0);
  return boost::math::quantile(boost::math::normal(), probability);
}

double student_quantile(double probability, std::uint64_t degrees) {
  assert(probability > 0.0 && probability < 1.0 && degrees >= 1);
  return boost::math::quantile(boost::math::students_t(static_cast<double>(degrees)), probability);
}

double block_quantile(std::size_t blocks, double confidence) {
  return blocks < 2 ? std::numeric_limits<double>::infinity()
                    : student_quantile(0.5 + 0.5 * confidence, blocks - 1);
}

Estimate estimate_from_blocks(std::span<const double> blocks, double confidence) {
  return estimate_by_quantile(blocks, block_quantile(blocks.size(), confidence));
}

Estimate estimate_by_quantile(std::span<const double> blocks, double quantile) {
  assert(!blocks.empty());
  Estimate estimate;
  estimate.blocks = blocks.size();
  const auto n = static_cast<double>(blocks.size());
  for (const double value : blocks) estimate.mean += value / n;
  if (blocks.size() < 2) {
    estimate.standard_error = std::numeric_limits<double>::infinity();
    estimate.half_width = std::numeric_limits<double>::infinity();
    return estimate;
  }
  double squares = 0.0;
  for (const double value : blocks) {
    squares += (value - estimate.mean) * (value - estimate.mean);
  }
  estimate.standard_error = std::sqrt(squares / (n - 1.0) / n);
  estimate.half_width = estimate.standard_error * quantile;
  return estimate;
}

Estimate probability_from_blocks(std::span<const double> blocks, std::span<const double> luck,
                                 std::uint64_t block_trials, double confidence) {
  assert(luck.size() == blocks.size());
  Estimate estimate = estimate_from_blocks(blocks, confidence);
  const auto trials = static_cast<double>(blocks.size() * block_trials);
  const WilsonInterval wilson(estimate.mean, trials, confidence);
  const double unexplained = unexplained_share(wilson, trial_variance(luck, block_trials), 1.0);
  if (wilson.cases(trials) < kFewCases * unexplained) {
    estimate.half_width = std::max(estimate.half_width, std::sqrt(unexplained) * wilson.arm);
  } else {
    estimate.half_width *= 1.0 + unexplained * (wilson.skew - 1.0);
  }
  return estimate;
}

Estimate difference_from_blocks(std::span<const double> differences, std::span<const double> luck,
                                double jump, std::uint64_t block_trials, double confidence) {
  assert(luck.size() == differences.size());
  const double usual = usual_result(differences, luck).value_or(0.0);
  return guarded(estimate_from_blocks(differences, confidence), usual, differences, luck, jump,
                 block_trials, confidence);
}

Estimate equity_from_blocks(std::span<const double> blocks, std::span<const double> luck,
                            double jump, std::uint64_t block_trials, double confidence) {
  assert(luck.size() == blocks.size());
  const Estimate estimate = estimate_from_blocks(blocks, confidence);
  const auto usual = usual_result(blocks, luck);
  return usual ? guarded(estimate, *usual, blocks, luck, jump, block_trials, confidence) : estimate;
}

}  // namespace sixfold
