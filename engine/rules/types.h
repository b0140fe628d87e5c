/// The small vocabulary of the game: locations, rolls and outcomes.
///
/// Locations are numbered from the owner's side: 1 (own ace point) to 24, 25 the bar, 0 borne off.
/// Everything here is a plain value and safe to use from any thread.
#pragma once

#include <array>
#include <cassert>
#include <cstdint>

namespace sixfold {

__extension__ using Packed128 = unsigned __int128;

inline constexpr int kOff = 0;
inline constexpr int kBar = 25;
inline constexpr int kPoints = 24;
inline constexpr int kLocations = 26;
inline constexpr int kHomePoints = 6;
/// The first point of the other side's home board.
inline constexpr int kFarHome = kPoints - kHomePoints + 1;
inline constexpr int kMaxCheckers = 15;

/// Two dice, the larger first.
struct Roll {
  std::uint8_t high = 1;
  std::uint8_t low = 1;

  [[nodiscard]] constexpr bool is_doubles() const noexcept { return high == low; }
  /// How many of the 36 ordered outcomes of two dice give this roll: 1 or 2.
  [[nodiscard]] constexpr int weight() const noexcept { return is_doubles() ? 1 : 2; }
  /// 0..20, the place in kRolls: 11, 21, 22, 31, 32, 33, ... 66.
  [[nodiscard]] constexpr int index() const noexcept { return high * (high - 1) / 2 + low - 1; }
  friend constexpr bool operator==(Roll, Roll) = default;
};

inline constexpr int kRollCount = 21;
inline constexpr int kDiceOutcomes = 36;

/// The 21 rolls in the order of Roll::index().
inline constexpr std::array<Roll, kRollCount> kRolls = [] {
  std::array<Roll, kRollCount> rolls{};
  for (std::uint8_t high = 1; high <= 6; ++high) {
    for (std::uint8_t low = 1; low <= high; ++low) {
      const Roll roll{high, low};
      rolls[static_cast<std::size_t>(roll.index())] = roll;
    }
  }
  return rolls;
}();

/// The roll of two dice in either order. REQUIRES: both in 1..6.
[[nodiscard]] constexpr Roll make_roll(int first, int second) noexcept {
  assert(first >= 1 && first <= 6 && second >= 1 && second <= 6);
  const int high = first > second ? first : second;
  const int low = first > second ? second : first;
  return {static_cast<std::uint8_t>(high), static_cast<std::uint8_t>(low)};
}

/// The roll of one of the 36 equally likely ordered outcomes. REQUIRES: outcome in 0..35.
[[nodiscard]] constexpr Roll roll_of_outcome(int outcome) noexcept {
  assert(outcome >= 0 && outcome < kDiceOutcomes);
  return make_roll(outcome / 6 + 1, outcome % 6 + 1);
}

/// The six exclusive outcomes of a game, from one player's viewpoint, in the order used everywhere.
enum class Outcome : std::uint8_t {
  kLoseBackgammon,
  kLoseGammon,
  kLoseSingle,
  kWinSingle,
  kWinGammon,
  kWinBackgammon,
};

inline constexpr int kOutcomeCount = 6;

/// The same outcome seen by the other player.
[[nodiscard]] constexpr Outcome reversed(Outcome outcome) noexcept {
  return static_cast<Outcome>(kOutcomeCount - 1 - static_cast<int>(outcome));
}

}  // namespace sixfold
