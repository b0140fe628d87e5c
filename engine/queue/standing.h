/// How far a part of an entry has come: what is known of its verdict, and what it took.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "rollout/state.h"
#include "study/cube_study.h"
#include "study/decision.h"

namespace sixfold {

/// What a verdict hangs on: the best against the closest of the others.
struct Closest {
  std::string best;
  std::string rival;
  Estimate cost;
  bool is_open = false;  ///< Of any of the others, not of this one alone.
  friend bool operator==(const Closest&, const Closest&) = default;
};

struct Standing {
  std::uint64_t rounds = 0;
  std::uint64_t trials = 0;
  std::uint64_t trials_expected = 0;
  std::uint64_t going_on = 0;          ///< Plays, or actions, with trials to come,
  std::uint64_t trials_each = 0;       ///< and what each of them has.
  bool is_done = false;                ///< As well known as was asked for.
  std::uint64_t beyond = 0;            ///< How often it went on once more.
  double seconds = 0.0;                ///< Spent on it.
  double wanted = 0.0;                 ///< Half-width that was asked for; 0: none.
  std::optional<double> half_width{};  ///< The widest of the contested costs.
  std::optional<Closest> closest{};    ///< Nothing before it has results, or with no choice.
  friend bool operator==(const Standing&, const Standing&) = default;
};

/// How far a rollout has come, but for its verdict and the seconds.
[[nodiscard]] Standing standing_of(const RolloutState& state);

/// What the verdict on a roll hangs on; nothing where there are not two plays.
[[nodiscard]] std::optional<Closest> closest_of(const RolledDecision& rolled);
/// The same of a doubling decision: whether to double, or whether to take, whichever is less clear.
[[nodiscard]] Closest closest_of(const CubeStudy& study);

}  // namespace sixfold
