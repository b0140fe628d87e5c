/// Numbers for one side's positions: up to C checkers on the points 1 to P, the rest anywhere else.
///
/// Positions are ordered by the count on point P, then P-1, and so on, so that a checker that moves
/// towards home always gives a smaller number; 0 is the empty board. With 25 points (the bar is the
/// last) and games of C checkers this numbers every side. Immutable; safe to use from any thread.
#pragma once

#include <array>
#include <cassert>
#include <cstdint>

#include "rules/position.h"

namespace sixfold {

class SideIndex {
 public:
  /// REQUIRES: 1 <= points <= 25, 1 <= checkers <= 15, C(points + checkers, checkers) < 2^32.
  constexpr SideIndex(int points, int checkers) : points_(points), checkers_(checkers) {
    assert(points >= 1 && points <= kBar && checkers >= 1 && checkers <= kMaxCheckers);
    for (int point = 0; point <= points; ++point) {
      for (int room = 0; room <= checkers; ++room) {
        const bool edge = point == 0 || room == 0;
        ways(point, room) = edge ? 1 : ways(point - 1, room) + ways(point, room - 1);
        assert(edge || ways(point, room) > ways(point, room - 1));  // No overflow.
      }
    }
  }

  [[nodiscard]] constexpr std::uint32_t size() const noexcept { return ways(points_, checkers_); }
  [[nodiscard]] constexpr int checkers() const noexcept { return checkers_; }

  /// Whether a side's checkers on the board are few enough and all within the points.
  [[nodiscard]] constexpr bool holds(const Side& side) const noexcept {
    return side.rearmost() <= points_ && side.sum(1) <= checkers_;
  }

  /// REQUIRES: holds(side).
  [[nodiscard]] constexpr std::uint32_t number(const Side& side) const noexcept {
    assert(holds(side));
    std::uint32_t number = 0;
    int room = checkers_ - side.sum(1);
    for_each_location(side.bits() >> 4 << 4, [&](int point) {
      const int fewer = room;
      room += side[point];
      number += ways(point, room) - ways(point, fewer);
    });
    return number;
  }

  /// The side with a number; the checkers that are not on the points are borne off.
  /// REQUIRES: number < size().
  [[nodiscard]] constexpr Side side(std::uint32_t number) const noexcept {
    assert(number < size());
    Side side;
    int room = checkers_;
    for (int point = points_; point > 0; --point) {
      // number(side) counts, for each point, the positions with fewer checkers there.
      while (number >= ways(point, room) - ways(point, room - 1)) {
        number -= ways(point, room) - ways(point, room - 1);
        side.add(point, 1);
        if (--room == 0) break;
      }
      if (room == 0) break;
    }
    side.add(kOff, room);
    return side;
  }

 private:
  /// C(point + room, room): ways to place up to `room` checkers on the points 1 to `point`.
  [[nodiscard]] constexpr std::uint32_t& ways(int point, int room) noexcept {
    return ways_[static_cast<std::size_t>(16 * point + room)];
  }
  [[nodiscard]] constexpr std::uint32_t ways(int point, int room) const noexcept {
    return ways_[static_cast<std::size_t>(16 * point + room)];
  }

  int points_;
  int checkers_;
  std::array<std::uint32_t, 16 * 26> ways_{};
};

}  // namespace sixfold
