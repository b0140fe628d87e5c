/// Every legal play of a roll, one entry for each distinct result.
///
/// A result is a 128-bit key: the mover's side after the play and, above its 104 bits, one bit for
/// each point on which the play hits. Generation allocates nothing, keeps no state and is safe from
/// any thread. Rules: as many dice as possible; the larger die where only one can be played; the
/// bar first; bearing off with a larger die only from the rearmost point.
#pragma once

#include <array>
#include <cassert>
#include <span>

#include "rules/position.h"
#include "rules/types.h"

namespace sixfold {

/// The result of one play, from the mover's viewpoint.
class PlayKey {
 public:
  /// Leaves the key unset, so that a PlayList costs nothing to create.
  PlayKey() = default;
  constexpr explicit PlayKey(Packed128 bits) : bits_(bits) {}

  /// The mover's checkers after the play.
  [[nodiscard]] constexpr Side mover() const noexcept { return Side(bits_ & kSideMask); }
  /// Bit p-1 is set when the play hits on the mover's point p.
  [[nodiscard]] constexpr std::uint32_t hits() const noexcept {
    return static_cast<std::uint32_t>(bits_ >> kSideBits);
  }
  [[nodiscard]] constexpr Packed128 bits() const noexcept { return bits_; }
  [[nodiscard]] static constexpr Packed128 hit_bit(int point) noexcept {
    return Packed128{1} << (kSideBits + point - 1);
  }
  friend constexpr bool operator==(PlayKey, PlayKey) = default;

 private:
  static constexpr int kSideBits = 4 * kLocations;
  static constexpr Packed128 kSideMask = (Packed128{1} << kSideBits) - 1;
  Packed128 bits_;
};

/// Four equal steps shared out among 15 checkers: C(15 + 3, 4) ways bound the results of a roll.
inline constexpr std::size_t kMaxPlays = 3060;

/// Room for the plays of any roll: about 48 KiB, of which only what is pushed is touched.
class PlayList {
 public:
  PlayList() noexcept {}
  [[nodiscard]] std::size_t size() const noexcept { return size_; }
  [[nodiscard]] PlayKey operator[](std::size_t i) const noexcept { return keys_[i]; }
  [[nodiscard]] const PlayKey* begin() const noexcept { return keys_.data(); }
  [[nodiscard]] const PlayKey* end() const noexcept { return keys_.data() + size_; }
  [[nodiscard]] std::span<const PlayKey> span() const noexcept { return {keys_.data(), size_}; }
  void clear() noexcept { size_ = 0; }
  /// REQUIRES: fewer than kMaxPlays entries.
  void push(PlayKey key) noexcept {
    assert(size_ < kMaxPlays);
    keys_[size_++] = key;
  }
  [[nodiscard]] bool contains(PlayKey key) const noexcept {
    for (const PlayKey known : *this) {
      if (known == key) return true;
    }
    return false;
  }

 private:
  std::size_t size_ = 0;
  std::array<PlayKey, kMaxPlays> keys_;
};

/// Replaces `plays` by the results of every legal play. Where there is none, the list holds one
/// entry that changes nothing. REQUIRES: neither side of `position` has all its checkers off.
void generate_plays(const Position& position, Roll roll, PlayList& plays) noexcept;

/// The position after a play, with the other player on roll.
[[nodiscard]] Position position_after(const Position& position, PlayKey play) noexcept;

}  // namespace sixfold
