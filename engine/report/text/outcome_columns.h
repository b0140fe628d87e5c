/// Columns that tables of plays for a terminal have in common.
#pragma once

#include <algorithm>
#include <string>

#include "base/format.h"
#include "rules/notation.h"
#include "rules/outcome_distribution.h"
#include "study/decision.h"

namespace sixfold {

/// Columns for the longest of the plays, 20 at least.
template <typename Plays>
[[nodiscard]] std::size_t play_width(const Decision& decision, const Plays& plays) {
  std::size_t width = 20;
  for (const auto& play : plays) {
    width = std::max(width, play_text(decision.position, *decision.roll, play.play).size());
  }
  return width;
}

inline constexpr const char* kOutcomeHeading = " lose bg  lose g    lose     win   win g  win bg\n";

/// Six columns of eight, under kOutcomeHeading.
[[nodiscard]] inline std::string outcome_cells(const OutcomeDistribution& outcomes) {
  std::string text;
  for (const double probability : outcomes.probability) {
    text += format(" %6.2f%%", 100.0 * probability);
  }
  return text;
}

}  // namespace sixfold
