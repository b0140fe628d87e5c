/// The dice of the first two plies, laid down for a block of trials.
#pragma once

#include <array>
#include <cassert>
#include <cstdint>

#include "rollout/block_means.h"
#include "rollout/random_stream.h"

namespace sixfold {

inline constexpr std::size_t kPlannedPlies = 2;

/// A pure function of seed and block.
class DicePlan {
 public:
  DicePlan(std::uint64_t seed, std::uint64_t block) noexcept {
    // Trials draw from the streams 0, 1, 2, ... of the seed; blocks from streams far above.
    constexpr std::uint64_t kBlockStreams = std::uint64_t{1} << 62;
    RandomStream random(seed, kBlockStreams + block);
    for (auto& order : dice_) order = random.permutation<kBlockTrials>();
  }

  /// REQUIRES: ply < kPlannedPlies, trial < kBlockTrials.
  [[nodiscard]] Roll roll(std::size_t ply, std::size_t trial) const noexcept {
    assert(ply < kPlannedPlies && trial < kBlockTrials);
    return make_roll(dice_[2 * ply][trial] + 1, dice_[2 * ply + 1][trial] + 1);
  }

 private:
  std::array<std::array<std::uint8_t, kBlockTrials>, 2 * kPlannedPlies> dice_;
};

/// The first rolls of a block's trials, which planned dice and drawn ones alike are known by.
[[nodiscard]] inline std::array<Roll, kBlockTrials> first_rolls(std::uint64_t seed,
                                                                std::uint64_t block,
                                                                bool planned) noexcept {
  std::array<Roll, kBlockTrials> rolls;
  if (planned) {
    const DicePlan plan(seed, block);
    for (std::size_t i = 0; i < kBlockTrials; ++i) rolls[i] = plan.roll(0, i);
  } else {
    for (std::size_t i = 0; i < kBlockTrials; ++i) {
      rolls[i] = RandomStream(seed, block * kBlockTrials + i).roll();
    }
  }
  return rolls;
}

}  // namespace sixfold
