/// A position with what is known of how its game ends, for programs that learn from it.
#pragma once

#include <array>
#include <optional>

#include "rules/outcome_distribution.h"
#include "rules/position.h"

namespace sixfold {

/// Before the dice, all from the viewpoint of the side on roll. A regular value.
struct SampledPosition {
  Position position;
  OutcomeDistribution outcomes;
  /// Of the six, where they were rolled out: what their intervals come to, so that outcomes which
  /// no trial has shown have errors too, unless the rules exclude them.
  std::optional<std::array<double, kOutcomeCount>> standard_errors{};
  Outcome end{};  ///< How the one game ended that it was met in.
  friend bool operator==(const SampledPosition&, const SampledPosition&) = default;
};

}  // namespace sixfold
