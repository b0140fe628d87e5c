#include "encoding/relations.h"

#include <bit>

#include "rules/location_set.h"

namespace sixfold {
namespace {

constexpr int kReach = 12;

/// Rolls of 36 that bring a checker over one of these distances; bit d-1: distance d. Rolls
/// outside: few enough steps for what compilers work out, with sanitizers too.
constexpr auto kHittingRolls = [] {
  std::array<std::uint8_t, 1 << kReach> rolls{};
  const auto bit = [](int d) { return d <= kReach ? 1u << (d - 1) : 0u; };
  for (int a = 1; a <= 6; ++a) {
    for (int b = 1; b <= 6; ++b) {
      unsigned reached = bit(a) | bit(b) | bit(a + b);
      if (a == b) reached |= bit(3 * a) | bit(4 * a);
      for (unsigned distances = 0; distances < rolls.size(); ++distances) {
        if ((distances & reached) != 0) ++rolls[distances];
      }
    }
  }
  return rolls;
}();

/// `blots` are the other side's, in the hitter's numbers.
std::uint8_t shots_at(std::uint32_t blots, std::uint32_t hitters) noexcept {
  std::uint32_t distances = 0;
  for (; blots != 0; blots &= blots - 1) distances |= hitters >> std::countr_zero(blots) >> 1;
  return kHittingRolls[distances & ((1u << kReach) - 1)];
}

/// `made` are the other side's points, in the blocked side's numbers.
std::uint8_t block_against(int rear, std::uint32_t made) noexcept {
  return static_cast<std::uint8_t>((std::uint64_t{made} << 6 >> rear) & 63u);
}

}  // namespace

SideSets::SideSets(const Side& side) noexcept
    : held(side.locations_with(1) & ~1u),
      made(side.locations_with(2) & kPointSet),
      mirrored_made(mirrored_set(made)),
      mirrored_blots(mirrored_set(held & ~made & kPointSet)),
      rear(static_cast<int>(std::bit_width(held | 1u)) - 1) {}

Relations relations_between(const SideSets& roller, const SideSets& opponent) noexcept {
  return {shots_at(roller.mirrored_blots & kFarHomeSet, opponent.held),
          shots_at(roller.mirrored_blots & ~kFarHomeSet, opponent.held),
          shots_at(opponent.mirrored_blots & kFarHomeSet, roller.held),
          shots_at(opponent.mirrored_blots & ~kFarHomeSet, roller.held),
          block_against(roller.rear, opponent.mirrored_made),
          block_against(opponent.rear, roller.mirrored_made),
          static_cast<std::uint8_t>(roller.made >> 1 & 63u),
          static_cast<std::uint8_t>(opponent.made >> 1 & 63u)};
}

}  // namespace sixfold
