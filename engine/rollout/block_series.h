/// The blocks of one play, in bounded memory.
#pragma once

#include <bit>
#include <cassert>
#include <cstdint>
#include <utility>
#include <vector>

#include "rollout/block_means.h"
#include "rollout/first_rolls.h"

namespace sixfold {

inline constexpr std::uint64_t kMostGroups = 4096;

/// `blocks` rounded up to whole groups of a series that long.
[[nodiscard]] std::uint64_t whole_groups(std::uint64_t blocks) noexcept;

/// Means of groups of so many consecutive blocks, a power of two: 1 at first, doubled whenever the
/// groups become too many. Groups are as independent of one another as blocks are, so errors may be
/// taken from their spread (batch means: Glynn P. & Whitt W., Operations Research Letters 10(8),
/// 1991).
template <typename Means>
class BlockSeries {
 public:
  BlockSeries() = default;
  /// A series as it was, by what the functions below say of it; `waiting` blocks have been added to
  /// the unfinished group. REQUIRES: at most kMostGroups groups; width is a power of two.
  BlockSeries(std::vector<Means> groups, std::uint64_t width, const Means& unfinished,
              std::uint64_t waiting)
      : groups_(std::move(groups)), width_(width), sum_(unfinished), waiting_(waiting) {
    assert(groups_.size() <= kMostGroups && std::has_single_bit(width) && waiting < width);
  }

  void add(const Means& block);
  /// Blocks added, those of an unfinished group included.
  [[nodiscard]] std::uint64_t blocks() const noexcept { return groups_.size() * width_ + waiting_; }
  /// Blocks in a group.
  [[nodiscard]] std::uint64_t width() const noexcept { return width_; }
  /// The finished groups' means, in order.
  [[nodiscard]] const std::vector<Means>& groups() const noexcept { return groups_; }
  /// The sum of the blocks of an unfinished group.
  [[nodiscard]] const Means& unfinished() const noexcept { return sum_; }
  /// The same in groups of `width` blocks, a power of two of at least width().
  [[nodiscard]] std::vector<Means> groups_of(std::uint64_t width) const;
  /// Blocks number first, ..., end - 1 alone: those groups that lie within.
  [[nodiscard]] BlockSeries part(std::uint64_t first, std::uint64_t end) const;

 private:
  std::vector<Means> groups_;
  std::uint64_t width_ = 1;
  Means sum_;  ///< Of the unfinished group.
  std::uint64_t waiting_ = 0;
};

extern template class BlockSeries<BlockMeans>;
extern template class BlockSeries<CubeMeans>;
extern template class BlockSeries<RollMeans>;

}  // namespace sixfold
