#include "rollout/roll_split.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace sixfold {
namespace {

/// With fewer trials of a roll that differ, their spread says too little.
constexpr double kFewTrials = 20.0;

using Parts = std::array<Estimate, kRollCount>;

/// What a roll's trials have on average over all rolls: the variance of one group's part, divided
/// by the roll's probability.
double common_variance(const std::vector<RollMeans>& groups) {
  double squares = 0.0;
  for (const RollMeans& group : groups) {
    for (const double part : group.worth) squares += part * part;
  }
  return squares / static_cast<double>(groups.size());
}

/// How many values a spread rests on, were they normal: the fewer, the more of the squares belongs
/// to a few of them. Most trials of two plays may end alike.
double effective_count(const std::vector<double>& values, double mean) {
  double squares = 0.0;
  double fourths = 0.0;
  for (const double value : values) {
    const double square = (value - mean) * (value - mean);
    squares += square;
    fourths += square * square;
  }
  constexpr double kNormalKurtosis = 3.0;
  return fourths > 0.0 ? kNormalKurtosis * squares * squares / fourths : 0.0;
}

/// Means of groups of so many trials.
Parts parts_of(const std::vector<RollMeans>& groups, std::uint64_t group_trials,
               double confidence) {
  const double common = common_variance(groups);
  const auto count = static_cast<double>(groups.size());
  Parts parts;
  std::vector<double> values(groups.size());
  for (std::size_t r = 0; r < kRollCount; ++r) {
    for (std::size_t g = 0; g < groups.size(); ++g) values[g] = groups[g].worth[r];
    parts[r] = estimate_from_blocks(values, confidence);
    const double trials = std::min(roll_probability(r) * count * static_cast<double>(group_trials),
                                   effective_count(values, parts[r].mean));
    if (trials >= kFewTrials) continue;
    parts[r].standard_error =
        std::max(parts[r].standard_error, std::sqrt(roll_probability(r) * common / count));
    const auto expected = static_cast<std::size_t>(std::max(2.0, std::round(trials)));
    parts[r].half_width = parts[r].standard_error * block_quantile(expected, confidence);
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
