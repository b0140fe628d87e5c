/// How a training run went: figures along the way, as CSV and as a picture.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <vector>

namespace sixfold {

/// Means over the games of a run since the point before. Strength is measured at some points only:
/// elsewhere its error is 0.
struct CurvePoint {
  float games = 0.0f;              ///< Played since the start of the run.
  float loss = 0.0f;               ///< Mean over positions, in nats.
  float plies = 0.0f;              ///< Of a game.
  float gammons = 0.0f;            ///< Share of the games that ended in a gammon or backgammon.
  float predicted_gammons = 0.0f;  ///< The same as predicted at the start position.
  float points = 0.0f;             ///< A game, against the snapshot.
  float points_error = 0.0f;       ///< Standard error.
  float snapshot_games = 0.0f;     ///< Games learnt by the snapshot.
  friend bool operator==(const CurvePoint&, const CurvePoint&) = default;
};

/// A heading and a line for each point; what was not measured stays empty.
[[nodiscard]] std::string curve_csv(std::span<const CurvePoint> curve);

/// Three panels over the number of games: loss; gammons, realised and predicted; points a game
/// against each snapshot, with 95% whiskers. A stand-alone SVG; REQUIRES: the curve is not empty.
[[nodiscard]] std::string curve_svg(std::span<const CurvePoint> curve, const std::string& title);

}  // namespace sixfold
