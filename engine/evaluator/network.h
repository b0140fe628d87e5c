/// The float weights of an evaluator, as trained and as stored.
///
/// Shapes: F features (kFeatureCount), H hidden units, S units of the second layer (kSecondUnits),
/// O outcomes (6). All matrices are row-major, input by output.
///
///   hidden = clamp(first_bias + sum over features of value * first[feature], 0, 1)^2
///   second = leaky(second_bias + hidden * second_weights)
///   logits = head_bias + second * head_weights;  outcomes = softmax over those that are possible
///
/// leaky(x) is x, and kLeak * x where x is below 0: without a slope there most second units fall
/// silent for good.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <string>
#include <utility>
#include <vector>

#include "encoding/features.h"
#include "rules/position.h"

namespace sixfold {

inline constexpr int kSecondUnits = 32;
/// H must be a multiple of this, so that kernels need no remainders.
inline constexpr int kHiddenStep = 64;
inline constexpr int kMaxHidden = 1024;
/// Slope of second units below 0.
inline constexpr float kLeak = 0.3f;

struct Network {
  int hidden = 0;                     ///< H
  std::vector<float> first;           ///< F x H
  std::vector<float> first_bias;      ///< H
  std::vector<float> second_weights;  ///< H x S
  std::vector<float> second_bias;     ///< S
  std::vector<float> head_weights;    ///< S x O
  std::vector<float> head_bias;       ///< O

  friend bool operator==(const Network&, const Network&) = default;
};

/// A network of H hidden units with all weights zero. REQUIRES: hidden is a multiple of kHiddenStep
/// and at most kMaxHidden.
[[nodiscard]] Network zero_network(int hidden);

/// Calls visit(name, values, rows, columns) for each of the six arrays of a network; vectors have
/// one row. The one place that knows the names of the stored tensors.
template <typename AnyNetwork, typename Visit>
void for_each_array(AnyNetwork& network, Visit visit) {
  const auto hidden = static_cast<std::size_t>(network.hidden);
  constexpr std::size_t kSecond = kSecondUnits;
  constexpr std::size_t kOutcomes = kOutcomeCount;
  visit("first", network.first, std::size_t{kFeatureCount}, hidden);
  visit("first_bias", network.first_bias, std::size_t{1}, hidden);
  visit("second_weights", network.second_weights, hidden, kSecond);
  visit("second_bias", network.second_bias, std::size_t{1}, kSecond);
  visit("head_weights", network.head_weights, kSecond, kOutcomes);
  visit("head_bias", network.head_bias, std::size_t{1}, kOutcomes);
}

/// What kinds of positions have networks of their own.
enum class Phase : std::uint8_t {
  kContact,
  kRace,
  kMutual,     ///< Contact, and each side has a checker in the other's home board or on the bar.
  kBehind,     ///< Contact, and the roller has one there, the opponent has none.
  kMutualBar,  ///< As kMutual, and the roller enters from the bar.
  kBehindBar,  ///< As kBehind, and the roller enters from the bar.
};
inline constexpr std::size_t kPhaseCount = 6;
/// Contact and races always have a network; the rest of an evaluator's phases come in pairs.
inline constexpr std::size_t kFewestPhases = 2;

/// REQUIRES: the game is not over.
[[nodiscard]] constexpr Phase phase_of(const Position& position) noexcept {
  if (is_race(position)) return Phase::kRace;
  const int rearmost = position.roller.rearmost();
  if (rearmost < kFarHome) return Phase::kContact;
  const bool enters = rearmost == kBar;
  if (position.opponent.rearmost() >= kFarHome) return enters ? Phase::kMutualBar : Phase::kMutual;
  return enters ? Phase::kBehindBar : Phase::kBehind;
}

/// The phase whose network evaluates positions of `phase` where only the first `phases` have one.
[[nodiscard]] constexpr Phase stand_in_for(Phase phase, std::size_t phases) noexcept {
  const auto is_there = [phases](Phase p) { return static_cast<std::size_t>(p) < phases; };
  if (phase == Phase::kMutualBar && !is_there(phase)) phase = Phase::kMutual;
  if (phase == Phase::kBehindBar && !is_there(phase)) phase = Phase::kBehind;
  return is_there(phase) ? phase : Phase::kContact;
}

/// An evaluator's networks, in the order of phases. Those that are not there have no hidden units.
struct Networks {
  Network contact;
  Network race;
  Network mutual{};
  Network behind{};
  Network mutual_bar{};
  Network behind_bar{};

  /// How many phases have a network: the first 2, 4 or 6.
  [[nodiscard]] std::size_t phases() const noexcept;
  /// The one stored for a phase, which need not be there.
  [[nodiscard]] const Network& stored_for(Phase phase) const noexcept;
  /// The one that evaluates positions of a phase.
  [[nodiscard]] const Network& used_for(Phase phase) const noexcept {
    return stored_for(stand_in_for(phase, phases()));
  }
  friend bool operator==(const Networks&, const Networks&) = default;
};

/// What each phase's network is called in files, and where it stands.
inline constexpr std::array<std::pair<const char*, Network Networks::*>, kPhaseCount> kNetworks{{
    {"contact", &Networks::contact},
    {"race", &Networks::race},
    {"mutual", &Networks::mutual},
    {"behind", &Networks::behind},
    {"mutual_bar", &Networks::mutual_bar},
    {"behind_bar", &Networks::behind_bar},
}};

inline const Network& Networks::stored_for(Phase phase) const noexcept {
  return this->*kNetworks[static_cast<std::size_t>(phase)].second;
}
inline std::size_t Networks::phases() const noexcept {
  std::size_t count = kFewestPhases;
  while (count < kPhaseCount && stored_for(static_cast<Phase>(count)).hidden > 0) ++count;
  return count;
}

/// Calls visit(name, network) for each of an evaluator's networks, in the order of phases.
template <typename AnyNetworks, typename Visit>
void for_each_network(AnyNetworks& networks, Visit visit) {
  const std::size_t phases = networks.phases();
  for (std::size_t p = 0; p < phases; ++p) visit(kNetworks[p].first, networks.*kNetworks[p].second);
}

/// R x width: a first layer, F x width, baked into one row for each (side, location, count) and
/// (side, pips).
[[nodiscard]] std::vector<float> baked_rows(const std::vector<float>& first, std::size_t width);

}  // namespace sixfold
