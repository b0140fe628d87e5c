/// A position: where both players' checkers stand, with one player on roll.
///
/// Each side is described from its own viewpoint, so the same code serves both players and turning
/// the table is an exchange of the two sides. Plain values; safe to use from any thread.
#pragma once

#include <bit>
#include <cassert>
#include <cstdint>
#include <initializer_list>
#include <type_traits>

#ifdef __SSE2__
#include <emmintrin.h>
#endif

#include "rules/types.h"

namespace sixfold {

/// One player's checkers: 26 counts of 4 bits, location 0 (borne off) lowest. The number of
/// checkers of the game is their sum, so games with fewer than 15 a side need no extra state.
class Side {
 public:
  constexpr Side() = default;
  constexpr explicit Side(Packed128 bits) : bits_(bits) {}

  /// Checkers on a location. REQUIRES: 0 <= location <= 25.
  [[nodiscard]] constexpr int operator[](int location) const noexcept {
    assert(location >= kOff && location <= kBar);
    // By halves: a shift of 128 bits by a variable amount is several times dearer.
    const auto half = static_cast<std::uint64_t>(location < 16 ? bits_ : bits_ >> 64);
    return static_cast<int>(half >> (4 * (location % 16)) & 15u);
  }
  /// REQUIRES: the count stays within 0..15.
  constexpr void add(int location, int count) noexcept {
    assert((*this)[location] + count >= 0 && (*this)[location] + count <= kMaxCheckers);
    bits_ += static_cast<Packed128>(count) << (4 * location);
  }
  /// REQUIRES: a checker stands on `from`.
  constexpr void move(int from, int to) noexcept {
    assert((*this)[from] > 0);
    bits_ += unit(to);
    bits_ -= unit(from);
  }

  /// All checkers, those borne off included.
  [[nodiscard]] constexpr int total() const noexcept { return sum(kOff); }
  [[nodiscard]] constexpr int borne_off() const noexcept { return (*this)[kOff]; }
  /// Nothing left on the board: this side has won.
  [[nodiscard]] constexpr bool all_off() const noexcept { return (bits_ >> 4) == 0; }
  /// Highest occupied location; 0 when all checkers are off.
  [[nodiscard]] constexpr int rearmost() const noexcept {
    const auto upper = static_cast<std::uint64_t>(bits_ >> 64);
    if (upper != 0) return 16 + (63 - std::countl_zero(upper)) / 4;
    const std::uint64_t lower = static_cast<std::uint64_t>(bits_) & ~std::uint64_t{15};
    return lower == 0 ? 0 : (63 - std::countl_zero(lower)) / 4;
  }
  /// Pips still to go; a checker on the bar has 25.
  [[nodiscard]] constexpr int pips() const noexcept {
    int pips = 0;
    for (int location = 1; location <= kBar; ++location) pips += location * (*this)[location];
    return pips;
  }
  /// Checkers on locations `first`..25.
  [[nodiscard]] constexpr int sum(int first) const noexcept {
    const Packed128 counts = bits_ >> (4 * first);
    return nibble_sum(static_cast<std::uint64_t>(counts)) +
           nibble_sum(static_cast<std::uint64_t>(counts >> 64));
  }

  /// Bit l is set where location l holds at least `count` checkers. REQUIRES: count is 1 or 2.
  [[nodiscard]] constexpr std::uint32_t locations_with(int count) const noexcept {
    assert(count == 1 || count == 2);
#ifdef __SSE2__
    if (!std::is_constant_evaluated()) return flags(std::bit_cast<__m128i>(bits_), count);
#endif
    return flags(static_cast<std::uint64_t>(bits_), count) |
           flags(static_cast<std::uint64_t>(bits_ >> 64), count) << 16;
  }

  [[nodiscard]] constexpr Packed128 bits() const noexcept { return bits_; }
  [[nodiscard]] static constexpr Packed128 unit(int location) noexcept {
    return Packed128{1} << (4 * location);
  }
  friend constexpr bool operator==(const Side&, const Side&) = default;

 private:
  /// The sum of sixteen 4-bit counts: at most 240, which a byte holds.
  [[nodiscard]] static constexpr int nibble_sum(std::uint64_t counts) noexcept {
    constexpr std::uint64_t kLowNibbles = 0x0f0f0f0f0f0f0f0f;
    const std::uint64_t bytes = (counts & kLowNibbles) + ((counts >> 4) & kLowNibbles);
    return static_cast<int>((bytes * 0x0101010101010101) >> 56);
  }

#ifdef __SSE2__
  /// Thirty-two 4-bit counts as bits, the same by vectors of bytes: a fifth of the instructions.
  [[nodiscard]] static std::uint32_t flags(__m128i counts, int count) noexcept {
    const __m128i low_nibbles = _mm_set1_epi8(0x0f);
    const __m128i even = _mm_and_si128(counts, low_nibbles);
    const __m128i odd = _mm_and_si128(_mm_srli_epi16(counts, 4), low_nibbles);
    const __m128i below = _mm_set1_epi8(static_cast<char>(count - 1));
    const int first = _mm_movemask_epi8(_mm_cmpgt_epi8(_mm_unpacklo_epi8(even, odd), below));
    const int last = _mm_movemask_epi8(_mm_cmpgt_epi8(_mm_unpackhi_epi8(even, odd), below));
    return static_cast<std::uint32_t>(first) | static_cast<std::uint32_t>(last) << 16;
  }
#endif

  /// Sixteen 4-bit counts as bits: whether each is at least `count`, 1 or 2.
  [[nodiscard]] static constexpr std::uint32_t flags(std::uint64_t counts, int count) noexcept {
    std::uint64_t set = counts >> 1 | counts >> 2 | counts >> 3;
    if (count == 1) set |= counts;
    set &= 0x1111111111111111;
    // Bits 4n move to n, in pairs, fours, eights.
    set = (set | set >> 3) & 0x0303030303030303;
    set = (set | set >> 6) & 0x000f000f000f000f;
    set = (set | set >> 12) & 0x000000ff000000ff;
    return static_cast<std::uint32_t>(set | set >> 24) & 0xffffu;
  }

  Packed128 bits_ = 0;
};

/// Calls visit(location), in ascending order, for every location whose four bits of a side's bits
/// are not all zero.
template <typename Visit>
constexpr void for_each_location(Packed128 bits, Visit visit) noexcept {
  int first = 0;
  for (auto half : {static_cast<std::uint64_t>(bits), static_cast<std::uint64_t>(bits >> 64)}) {
    while (half != 0) {
      const int nibble = std::countr_zero(half) / 4;
      visit(first + nibble);
      half &= ~(std::uint64_t{15} << (4 * nibble));
    }
    first += 16;
  }
}

struct Position {
  Side roller;
  Side opponent;
  friend constexpr bool operator==(const Position&, const Position&) = default;
};

/// The same board with the other player on roll.
[[nodiscard]] constexpr Position swapped(const Position& position) noexcept {
  return {position.opponent, position.roller};
}

/// The other player's number for a point: 1 <-> 24.
[[nodiscard]] constexpr int mirrored(int point) noexcept { return kPoints + 1 - point; }

/// One side has all its checkers off.
[[nodiscard]] constexpr bool game_over(const Position& position) noexcept {
  return position.roller.all_off() || position.opponent.all_off();
}

/// No checker can ever be hit again: the sides have passed one another. REQUIRES: not game_over.
[[nodiscard]] constexpr bool is_race(const Position& position) noexcept {
  assert(!game_over(position));
  return position.roller.rearmost() + position.opponent.rearmost() <= kPoints;
}

}  // namespace sixfold
