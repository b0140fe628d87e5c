/// One die with one checker: the step from which whole plays are made. Used by the play generator
/// and by the notation; nothing outside rules/ needs it.
#pragma once

#include <algorithm>

#include "rules/plays.h"

namespace sixfold {

/// The steps open to the mover of one position. Keys are those of PlayKey; hits made so far ride
/// along in a key, since a point cannot be hit twice in one play.
class Steps {
 public:
  explicit Steps(const Side& opponent) noexcept {
    constexpr Packed128 kPointsMask = ((Packed128{1} << (4 * kPoints)) - 1) << 4;
    for_each_location(opponent.bits() & kPointsMask, [&](int point) {
      (opponent[point] >= 2 ? blocked_ : blots_) |= point_bit(mirrored(point));
    });
  }

  [[nodiscard]] static Side side_of(Packed128 key) noexcept { return PlayKey(key).mover(); }

  /// What a checker's arrival on `to` adds to a key; 0 when `to` is blocked.
  [[nodiscard]] Packed128 arrival(int to) const noexcept {
    return to != kOff && (blocked_ & point_bit(to)) != 0 ? 0 : Side::unit(to);
  }
  /// The hit bit of an arrival on `to`, or 0.
  [[nodiscard]] Packed128 hit_on(int to) const noexcept {
    return to != kOff && (blots_ & point_bit(to)) != 0 ? PlayKey::hit_bit(to) : 0;
  }

  /// Calls visit(from, to, key after the step) for each legal step of one die from sources up to
  /// `highest`, in descending order.
  template <typename Visit>
  void for_each(Packed128 key, int die, int highest, Visit visit) const noexcept {
    const Side side = side_of(key);
    const int rearmost = side.rearmost();
    const int lowest = side[kBar] > 0 ? kBar : 1;
    for (int from = std::min(highest, rearmost); from >= lowest; --from) {
      if (side[from] == 0) continue;
      if (from <= die) {
        if (rearmost > kHomePoints) return;
        if (from < die && from != rearmost) return;
      }
      const int to = std::max(from - die, kOff);
      const Packed128 arriving = arrival(to);
      if (arriving != 0) visit(from, to, (key + arriving - Side::unit(from)) | hit_on(to));
    }
  }

 private:
  [[nodiscard]] static std::uint32_t point_bit(int point) noexcept { return 1u << (point - 1); }

  std::uint32_t blocked_ = 0;  ///< Bit p-1: two or more opposing checkers on the mover's point p.
  std::uint32_t blots_ = 0;    ///< Bit p-1: exactly one.
};

}  // namespace sixfold
