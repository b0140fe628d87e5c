/// What the two sides' checkers are to one another, as a few numbers that each activate a row.
///
/// Rows of single points say nothing of shots or blocks, which lie between two points. Each group
/// below has one value at a time; value 0 has no row.
///
///   group  values  meaning
///   0, 1   1..36   rolls of 36 that hit a blot of the roller: in his home board, elsewhere
///   2, 3   1..36   the same of the opponent's blots
///   4, 5   1..63   the points made against the roller's (the opponent's) rearmost checker, 1 to 6
///                  pips in front of it, as bits: 32 is the one 1 pip in front
///   6, 7   1..63   the points of the roller's (the opponent's) home board that are made, as bits:
///                  32 is the 6 point
///
/// Rolls that hit are counted over distances of up to 12 and as if nothing stood in the way.
/// Constant data; thread-safe.
#pragma once

#include <array>
#include <cstdint>

#include "rules/position.h"

namespace sixfold {

inline constexpr std::size_t kRelationGroups = 8;
inline constexpr std::array<int, kRelationGroups> kRelationValues{36, 36, 36, 36, 63, 63, 63, 63};

/// Where each group's value 1 stands among all relations, and their number.
inline constexpr auto kFirstRelation = [] {
  std::array<int, kRelationGroups + 1> first{};
  for (std::size_t g = 0; g < kRelationGroups; ++g) first[g + 1] = first[g] + kRelationValues[g];
  return first;
}();
inline constexpr int kRelationCount = kFirstRelation[kRelationGroups];

using Relations = std::array<std::uint8_t, kRelationGroups>;

/// A side's part in relations, so that it need not be worked out again while the side stands still:
/// sets of points (and the bar) in its own numbers, bit p for point p.
struct SideSets {
  explicit SideSets(const Side& side) noexcept;

  std::uint32_t held;            ///< Points and bar with a checker or more.
  std::uint32_t made;            ///< Points with two or more.
  std::uint32_t mirrored_made;   ///< The same in the other side's numbers.
  std::uint32_t mirrored_blots;  ///< Points with one checker, in the other side's numbers.
  int rear;                      ///< The rearmost checker's point, or the bar.
};

[[nodiscard]] Relations relations_between(const SideSets& roller,
                                          const SideSets& opponent) noexcept;

[[nodiscard]] inline Relations relations_of(const Position& position) noexcept {
  return relations_between(SideSets(position.roller), SideSets(position.opponent));
}

}  // namespace sixfold
