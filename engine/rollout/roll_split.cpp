#include "rollout/roll_split.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace sixfold {
namespace {

/// With fewer trials of a roll that differ, their spread says too little.
constexpr double kFewTrials = 20.0;

using Parts = std::array<Estimate, kRollCount>;

/// Sums of powers of what values are apart from their mean, and what they tell of its error.
struct Spread {
  double squares = 0.0;
  double cubes = 0.0;
  double fourths = 0.0;

  void add(double apart) noexcept {
    squares += apart * apart;
    cubes += apart * apart * apart;
    fourths += apart * apart * apart * apart;
  }
  /// How many values the squares come from, were these normal: the fewer, the more belongs to a few
  /// of them. Most trials of two plays may end alike.
  [[nodiscard]] double count() const noexcept {
    constexpr double kNormalKurtosis = 3.0;
    return fourths > 0.0 ? kNormalKurtosis * squares * squares / fourths : 0.0;
  }
  /// By how much few large values make the mean of `values` and its error too small together, for
  /// each unit of Johnson's factor.
  [[nodiscard]] double skew(double values) const noexcept {
    return squares > 0.0 ? std::abs(cubes) / (6.0 * squares * values) : 0.0;
  }
};

/// Of all rolls alike.
Spread common_spread(const std::vector<RollMeans>& groups) {
  Spread spread;
  for (const RollMeans& group : groups) {
    for (const double part : group.worth) spread.add(part);
  }
  return spread;
}

/// Means of groups of so many trials.
Parts parts_of(const std::vector<RollMeans>& groups, std::uint64_t group_trials,
               double confidence) {
  const Spread common = common_spread(groups);
  const auto count = static_cast<double>(groups.size());
  const double usual = block_quantile(groups.size(), confidence);
  const double johnson = 1.0 + 2.0 * usual * usual;
  Parts parts;
  std::vector<double> values(groups.size());
  for (std::size_t r = 0; r < kRollCount; ++r) {
    for (std::size_t g = 0; g < groups.size(); ++g) values[g] = groups[g].worth[r];
    Estimate& part = parts[r];
    part = estimate_by_quantile(values, usual);
    Spread own;
    for (const double value : values) own.add(value - part.mean);
    const double probability = roll_probability(r);
    const double trials = std::min({probability * count * static_cast<double>(group_trials),
                                    probability * common.count(), own.count()});
    double quantile = usual;
    if (trials < kFewTrials) {
      part.standard_error =
          std::max(part.standard_error, std::sqrt(probability * common.squares) / count);
      quantile =
          block_quantile(static_cast<std::size_t>(std::max(2.0, std::round(trials))), confidence);
    }
    part.half_width = quantile * part.standard_error + johnson * own.skew(count);
  }
  return parts;
}

/// Of one play alone, without regard to common dice.
Parts parts_of(const PlayBlocks& play, double confidence) {
  return parts_of(play.by_roll.groups(), play.by_roll.width() * kBlockTrials, confidence);
}

Parts differences(const PlayBlocks& other, const PlayBlocks& best, double confidence) {
  const std::uint64_t width = std::max(best.by_roll.width(), other.by_roll.width());
  std::vector<RollMeans> groups = best.by_roll.groups_of(width);
  const std::vector<RollMeans> others = other.by_roll.groups_of(width);
  groups.resize(std::min(groups.size(), others.size()));
  if (groups.size() >= kFewestBlocks) {
    for (std::size_t g = 0; g < groups.size(); ++g) groups[g] -= others[g];
    return parts_of(groups, width * kBlockTrials, confidence);
  }
  Parts parts = parts_of(best, confidence);
  const Parts its = parts_of(other, confidence);
  for (std::size_t r = 0; r < kRollCount; ++r) {
    parts[r] = {parts[r].mean - its[r].mean,
                std::hypot(parts[r].standard_error, its[r].standard_error),
                std::hypot(parts[r].half_width, its[r].half_width),
                std::min(parts[r].blocks, its[r].blocks)};
  }
  return parts;
}

}  // namespace

std::array<Estimate, kRollCount> split_by_roll(const PlayBlocks& other, const PlayBlocks& best,
                                               const Estimate& cost, const EstimateRules& rules) {
  Parts parts = differences(other, best, rules.confidence);
  const FirstRolls& its = other.first_rolls;
  const FirstRolls& own = best.first_rolls;
  double left = cost.mean;
  for (std::size_t r = 0; r < kRollCount; ++r) {
    parts[r].mean += roll_probability(r) * (own.before - its.before + own.luck[r] - its.luck[r]);
    parts[r].half_width *= rules.widening;
    left -= parts[r].mean;
  }
  for (std::size_t r = 0; r < kRollCount; ++r) {
    const double shift = roll_probability(r) * left;
    parts[r].mean += shift;
    parts[r].half_width += std::abs(shift);
  }
  return parts;
}

}  // namespace sixfold
