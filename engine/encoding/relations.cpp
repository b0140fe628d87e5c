#include "encoding/relations.h"

#include <bit>
#include <cassert>

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

constexpr std::uint32_t kPointSet = ((1u << kPoints) - 1) << 1;

std::uint32_t mirrored_set(std::uint32_t set) noexcept {
  set = (set >> 1 & 0x55555555u) | (set & 0x55555555u) << 1;
  set = (set >> 2 & 0x33333333u) | (set & 0x33333333u) << 2;
  set = (set >> 4 & 0x0f0f0f0fu) | (set & 0x0f0f0f0fu) << 4;
  return __builtin_bswap32(set) >> (31 - kBar);
}

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
  constexpr std::uint32_t kFarHome = 63u << 19;  // the other side's home board
  return {shots_at(roller.mirrored_blots & kFarHome, opponent.held),
          shots_at(roller.mirrored_blots & ~kFarHome, opponent.held),
          shots_at(opponent.mirrored_blots & kFarHome, roller.held),
          shots_at(opponent.mirrored_blots & ~kFarHome, roller.held),
          block_against(roller.rear, opponent.mirrored_made),
          block_against(opponent.rear, roller.mirrored_made),
          static_cast<std::uint8_t>(roller.made >> 1 & 63u),
          static_cast<std::uint8_t>(opponent.made >> 1 & 63u)};
}

std::string relation_name(int relation) {
  assert(relation >= 0 && relation < kRelationCount);
  static constexpr std::array<const char*, kRelationGroups> kNames{
      "rolls that hit the roller's blots at home",
      "rolls that hit the roller's blots elsewhere",
      "rolls that hit the opponent's blots at home",
      "rolls that hit the opponent's blots elsewhere",
      "block against the roller's rearmost checker",
      "block against the opponent's rearmost checker",
      "points made in the roller's home board",
      "points made in the opponent's home board"};
  std::size_t group = 0;
  while (relation >= kFirstRelation[group + 1]) ++group;
  return kNames[group] + std::string(": ") + std::to_string(relation - kFirstRelation[group] + 1);
}

}  // namespace sixfold
