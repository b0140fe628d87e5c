/// One die with one checker: the step from which whole plays are made.
#pragma once

#include <algorithm>
#include <array>
#include <bit>
#include <cassert>

#include "rules/location_set.h"
#include "rules/plays.h"

namespace sixfold {

/// The steps open to the mover of one position. Keys are those of PlayKey; hits made so far ride
/// along in a key, since a point cannot be hit twice in one play.
class Steps {
 public:
  explicit Steps(const Side& opponent) noexcept {
    const LocationSet blocks = opponent.locations_with(2) & kPointSet;
    blocked_ = mirrored_set(blocks);
    blots_ = mirrored_set(opponent.locations_with(1) & kPointSet & ~blocks);
  }

  [[nodiscard]] static Side side_of(Packed128 key) noexcept { return PlayKey(key).mover(); }
  /// Where the mover has checkers to play: the bar and the points.
  [[nodiscard]] static LocationSet occupied(const Side& mover) noexcept {
    return mover.locations_with(1) & ~location_bit(kOff);
  }

  /// Points of the mover with two or more opposing checkers.
  [[nodiscard]] LocationSet blocked() const noexcept { return blocked_; }
  /// Points of the mover with exactly one opposing checker.
  [[nodiscard]] LocationSet blots() const noexcept { return blots_; }
  [[nodiscard]] bool is_open(int to) const noexcept { return (blocked_ & location_bit(to)) == 0; }
  /// The hit bits of arrivals on a set of points.
  [[nodiscard]] Packed128 hits_on(LocationSet points) const noexcept {
    // By halves: a shift of 128 bits by a variable amount is several times dearer.
    constexpr int kShift = std::countr_zero(static_cast<std::uint64_t>(PlayKey::hit_bit(1) >> 64));
    const std::uint64_t hits = blots_ & points;
    return static_cast<Packed128>(hits << (kShift - 1)) << 64;
  }

  /// Where a checker may start with a die. `occupied` is that of the mover's side.
  [[nodiscard]] LocationSet sources(LocationSet occupied, int die) const noexcept {
    if ((occupied & location_bit(kBar)) != 0) occupied = location_bit(kBar);
    LocationSet from = occupied & ~(blocked_ << die) & (~LocationSet{1} << die);
    if (occupied >> (kHomePoints + 1) == 0 && occupied != 0) {
      from |= occupied & location_bit(die);
      if (occupied >> die == 0) from |= location_bit(highest_in(occupied));
    }
    return from;
  }

  /// Where a step from `from` ends.
  [[nodiscard]] static int end_of(int from, int die) noexcept { return std::max(from - die, kOff); }
  /// What the step adds to a side's bits, hits left aside.
  [[nodiscard]] static Packed128 change(int from, int die) noexcept {
    return kChanges[static_cast<std::size_t>(die)][static_cast<std::size_t>(from)];
  }
  /// The key after a step. REQUIRES: `from` is one of the sources.
  [[nodiscard]] Packed128 after(Packed128 key, int from, int die) const noexcept {
    assert((sources(occupied(side_of(key)), die) & location_bit(from)) != 0);
    return (key + change(from, die)) | hits_on(location_bit(from) >> die);
  }

  /// Calls visit(from, to, key after the step) for each legal step of one die from sources up to
  /// `highest`, in descending order.
  template <typename Visit>
  void for_each(Packed128 key, int die, int highest, Visit visit) const noexcept {
    const LocationSet up_to = (location_bit(highest) << 1) - 1;
    for_each_descending(sources(occupied(side_of(key)), die) & up_to,
                        [&](int from) { visit(from, end_of(from, die), after(key, from, die)); });
  }

 private:
  static constexpr auto kChanges = [] {
    std::array<std::array<Packed128, kLocations>, 7> changes{};
    for (int die = 1; die <= 6; ++die) {
      for (int from = 1; from <= kBar; ++from) {
        changes[static_cast<std::size_t>(die)][static_cast<std::size_t>(from)] =
            Side::unit(std::max(from - die, kOff)) - Side::unit(from);
      }
    }
    return changes;
  }();

  LocationSet blocked_ = 0;
  LocationSet blots_ = 0;
};

}  // namespace sixfold
