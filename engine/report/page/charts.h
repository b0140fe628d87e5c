/// The pictures of a sheet: outcomes as bars, values with their intervals, the flip plane.
///
/// Each is an svg element for a page whose style sheet has picture_style() and chart_style(). What
/// is told by colour is told by place, letters or numbers too. Pure functions.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "rollout/rollout.h"
#include "study/flip.h"

namespace sixfold {

/// A step of 1, 2 or 5 times a power of ten that divides a length into at most six.
[[nodiscard]] double round_step(double length);

/// A bar for each play: shares of the six outcomes from lost backgammons to won ones, and below it
/// the interval of each share, drawn where that outcome ends towards the middle.
struct OutcomeBar {
  std::string name;
  std::array<Estimate, kOutcomeCount> outcomes;
};
[[nodiscard]] std::string outcome_bars_svg(std::span<const OutcomeBar> bars);

/// Values as points with their intervals on a common scale, one below the other.
struct IntervalPoint {
  std::string name;
  Estimate value;
  std::string note;  ///< At the end of its line, such as the verdict.
};
struct Threshold {
  double value;
  std::string name;
};
/// `scale` is what the values are, in words. Thresholds beyond the values are left out.
[[nodiscard]] std::string interval_points_svg(std::span<const IntervalPoint> points,
                                              std::span<const Threshold> thresholds,
                                              const std::string& scale);

/// The best play at each place of the plane by colour and letter (small: within the error), and
/// scores on it by name.
[[nodiscard]] std::string flip_plane_svg(const FlipStudy& study,
                                         std::span<const PlaneScore> scores);

}  // namespace sixfold
