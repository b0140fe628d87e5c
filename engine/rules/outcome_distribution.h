/// Probabilities of the six exclusive outcomes of a game.
#pragma once

#include <algorithm>
#include <array>

#include "rules/types.h"

namespace sixfold {

/// Six probabilities in the order of Outcome, from one player's viewpoint; they sum to 1. Also used
/// for differences of distributions, which sum to 0. A regular value.
struct OutcomeDistribution {
  std::array<double, kOutcomeCount> probability{};

  constexpr double& operator[](std::size_t i) noexcept { return probability[i]; }
  constexpr double operator[](std::size_t i) const noexcept { return probability[i]; }
  constexpr double operator[](Outcome outcome) const noexcept {
    return probability[static_cast<std::size_t>(outcome)];
  }

  constexpr OutcomeDistribution& operator+=(const OutcomeDistribution& other) noexcept {
    for (std::size_t i = 0; i < probability.size(); ++i) probability[i] += other[i];
    return *this;
  }
  constexpr OutcomeDistribution& operator-=(const OutcomeDistribution& other) noexcept {
    for (std::size_t i = 0; i < probability.size(); ++i) probability[i] -= other[i];
    return *this;
  }
  constexpr OutcomeDistribution& operator*=(double factor) noexcept {
    for (double& p : probability) p *= factor;
    return *this;
  }
  friend constexpr bool operator==(const OutcomeDistribution&,
                                   const OutcomeDistribution&) = default;

  [[nodiscard]] constexpr double win_probability() const noexcept {
    return probability[3] + probability[4] + probability[5];
  }
  /// Gammons and backgammons won.
  [[nodiscard]] constexpr double win_gammon_or_better_probability() const noexcept {
    return probability[4] + probability[5];
  }
  /// Gammons and backgammons lost.
  [[nodiscard]] constexpr double lose_gammon_or_worse_probability() const noexcept {
    return probability[0] + probability[1];
  }
};

/// The same distribution seen by the other player.
[[nodiscard]] constexpr OutcomeDistribution reversed(OutcomeDistribution distribution) noexcept {
  std::reverse(distribution.probability.begin(), distribution.probability.end());
  return distribution;
}

/// Certainty of one outcome.
[[nodiscard]] constexpr OutcomeDistribution certain(Outcome outcome) noexcept {
  OutcomeDistribution distribution;
  distribution[static_cast<std::size_t>(outcome)] = 1.0;
  return distribution;
}

/// Equity of each outcome in the order of Outcome, from one player's viewpoint.
using OutcomeWorth = std::array<double, kOutcomeCount>;

/// Points that the outcomes win, for each unit of the cube.
inline constexpr std::array<int, kOutcomeCount> kPointsWon{-3, -2, -1, 1, 2, 3};

/// What they are worth at money: their points.
inline constexpr OutcomeWorth kMoneyWorth = [] {
  OutcomeWorth worth{};
  for (std::size_t i = 0; i < kOutcomeCount; ++i) worth[i] = kPointsWon[i];
  return worth;
}();

/// What the outcomes are worth to the other player, seen from his side.
[[nodiscard]] constexpr OutcomeWorth opponents_worth(const OutcomeWorth& worth) noexcept {
  OutcomeWorth other{};
  for (std::size_t i = 0; i < kOutcomeCount; ++i) other[i] = -worth[kOutcomeCount - 1 - i];
  return other;
}

/// Sum over outcomes of probability times worth.
[[nodiscard]] constexpr double worth_of(const OutcomeDistribution& distribution,
                                        const OutcomeWorth& worth) noexcept {
  double sum = 0.0;
  for (std::size_t i = 0; i < worth.size(); ++i) sum += distribution[i] * worth[i];
  return sum;
}

}  // namespace sixfold
