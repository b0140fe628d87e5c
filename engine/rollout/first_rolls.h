/// What trials come to after each first roll.
#pragma once

#include <array>

#include "rules/types.h"

namespace sixfold {

/// How likely a roll is.
[[nodiscard]] constexpr double roll_probability(std::size_t roll) noexcept {
  return static_cast<double>(kRolls[roll].weight()) / kDiceOutcomes;
}

/// What a start is taken to be worth before its first roll, and what each roll is taken to add to
/// that, in the order of kRolls: the luck that trials which begin with it are adjusted for. The
/// mean of that is zero. Both are equities for the player whose trials these are.
struct FirstRolls {
  double before = 0.0;
  std::array<double, kRollCount> luck{};
};

/// For each first roll: the sum over the trials that begin with it of what they come to beyond
/// FirstRolls::before, divided by the number of all trials.
struct RollMeans {
  std::array<double, kRollCount> worth{};

  constexpr RollMeans& operator+=(const RollMeans& other) noexcept {
    for (std::size_t r = 0; r < worth.size(); ++r) worth[r] += other.worth[r];
    return *this;
  }
  constexpr RollMeans& operator-=(const RollMeans& other) noexcept {
    for (std::size_t r = 0; r < worth.size(); ++r) worth[r] -= other.worth[r];
    return *this;
  }
  constexpr RollMeans& operator*=(double factor) noexcept {
    for (double& value : worth) value *= factor;
    return *this;
  }
};

}  // namespace sixfold
