#include "rollout/block_series.h"

#include <algorithm>

namespace sixfold {
namespace {

template <typename Means>
Means mean_of(const Means& first, const Means& second) {
  Means mean = first;
  mean += second;
  mean *= 0.5;
  return mean;
}

/// Pairs of neighbours; one left over is dropped.
template <typename Means>
std::vector<Means> paired(const std::vector<Means>& groups) {
  std::vector<Means> pairs;
  pairs.reserve(groups.size() / 2);
  for (std::size_t i = 0; i + 1 < groups.size(); i += 2) {
    pairs.push_back(mean_of(groups[i], groups[i + 1]));
  }
  return pairs;
}

}  // namespace

std::uint64_t whole_groups(std::uint64_t blocks) noexcept {
  std::uint64_t width = 1;
  while (blocks > kMostGroups * width) width *= 2;
  return (blocks + width - 1) / width * width;
}

template <typename Means>
void BlockSeries<Means>::add(const Means& block) {
  sum_ += block;
  if (++waiting_ < width_) return;
  if (groups_.size() == kMostGroups) {
    // The group that has just been finished is the first half of one twice as wide.
    groups_ = paired(groups_);
    width_ *= 2;
    return;
  }
  sum_ *= 1.0 / static_cast<double>(width_);
  groups_.push_back(sum_);
  sum_ = {};
  waiting_ = 0;
}

template <typename Means>
auto BlockSeries<Means>::groups_of(std::uint64_t width) const -> std::vector<Means> {
  std::vector<Means> groups = groups_;
  for (std::uint64_t have = width_; have < width; have *= 2) groups = paired(groups);
  return groups;
}

template <typename Means>
auto BlockSeries<Means>::part(std::uint64_t first, std::uint64_t end) const -> BlockSeries {
  const std::uint64_t from = std::min<std::uint64_t>((first + width_ - 1) / width_, groups_.size());
  const std::uint64_t to = std::clamp<std::uint64_t>(end / width_, from, groups_.size());
  const auto at = [&](std::uint64_t group) {
    return groups_.begin() + static_cast<std::ptrdiff_t>(group);
  };
  return {{at(from), at(to)}, width_, {}, 0};
}

template class BlockSeries<BlockMeans>;
template class BlockSeries<CubeMeans>;
template class BlockSeries<RollMeans>;

}  // namespace sixfold
