/// Which rolls decide a difference: its parts by the next roll, sorted, and the rolls among them
/// that belong together.
///
/// Pure functions; safe to use from any thread.
#pragma once

#include <array>
#include <optional>
#include <span>
#include <vector>

#include "rollout/rolled.h"

namespace sixfold {

struct RollPart {
  Roll roll;
  Estimate part;
};

/// How likely it is that one of the rolls comes.
[[nodiscard]] double probability_of(std::span<const RollPart> rolls) noexcept;
/// What they contribute together. Each trial begins with one roll, so that the errors of parts are
/// all but independent: their squares add up.
[[nodiscard]] Estimate sum_of(std::span<const RollPart> rolls) noexcept;

/// Rolls that share a number, or doubles.
struct RollFamily {
  int number = 0;               ///< On one die or both; 0: doubles.
  std::vector<RollPart> rolls;  ///< The largest part first.
};

struct DecidingRolls {
  std::vector<RollPart> pro;     ///< Parts above zero beyond their intervals, the largest first.
  std::vector<RollPart> contra;  ///< Below zero, the same.
  std::vector<RollPart> others;  ///< In the order of kRolls.
  /// The family with the most beyond what would fall to it if all rolls were alike, if its part is
  /// half of the difference or more and for certain beyond that.
  std::optional<RollFamily> family;
};

/// Of the parts by roll, in the order of kRolls, of a difference. There is no family where the
/// difference is not above zero beyond its interval.
[[nodiscard]] DecidingRolls deciding_rolls(const std::array<Estimate, kRollCount>& parts,
                                           const Estimate& difference);

/// The same of a double that is taken against waiting: with which rolls of the roller it gains.
/// REQUIRES: it has been rolled out.
[[nodiscard]] DecidingRolls deciding_rolls(const RolledDouble& rolled);
/// What such a double gains: the difference, the other way round.
[[nodiscard]] Estimate gain_of_doubling(const RolledDouble& rolled);

}  // namespace sixfold
