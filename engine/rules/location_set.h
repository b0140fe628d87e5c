/// Sets of locations of one side, as bits. Plain values; safe to use from any thread.
#pragma once

#include <bit>
#include <cassert>
#include <cstdint>

#include "rules/types.h"

namespace sixfold {

/// Locations as bits: bit l stands for location l.
using LocationSet = std::uint32_t;

[[nodiscard]] constexpr LocationSet location_bit(int location) noexcept { return 1u << location; }

/// The points, without the bar and what is borne off.
inline constexpr LocationSet kPointSet = ((LocationSet{1} << kPoints) - 1) << 1;
/// Of them, the other side's home board.
inline constexpr LocationSet kFarHomeSet = kPointSet & ~(location_bit(kFarHome) - 1);

/// REQUIRES: the set is not empty.
[[nodiscard]] constexpr int highest_in(LocationSet set) noexcept {
  assert(set != 0);
  return 31 - std::countl_zero(set);
}

/// Calls visit(location) for each location of a set, in descending order.
template <typename Visit>
constexpr void for_each_descending(LocationSet set, Visit visit) noexcept {
  while (set != 0) {
    const int location = highest_in(set);
    set ^= location_bit(location);
    visit(location);
  }
}

/// The same points by the other player's numbers. REQUIRES: the set is one of points.
[[nodiscard]] constexpr LocationSet mirrored_set(LocationSet set) noexcept {
  set = (set >> 1 & 0x55555555u) | (set & 0x55555555u) << 1;
  set = (set >> 2 & 0x33333333u) | (set & 0x33333333u) << 2;
  set = (set >> 4 & 0x0f0f0f0fu) | (set & 0x0f0f0f0fu) << 4;
  return __builtin_bswap32(set) >> (31 - kBar);
}

}  // namespace sixfold
