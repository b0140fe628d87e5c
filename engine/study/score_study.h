/// What a score means for gammons and for the cube, by the cube model.
///
/// Pure functions; safe to use from any thread.
#pragma once

#include <vector>

#include "equity/cube.h"
#include "equity/score.h"

namespace sixfold {

/// A score at one value of the cube.
struct ScoreAtCube {
  int cube = 1;
  GammonPrices prices;
  TakePoints take_points;  ///< Of a double from this value.
};

/// At each value of the cube that the score allows, at an even position where wins are single games
/// as often as the match model says; at money, where all values are alike, at 1 alone.
[[nodiscard]] std::vector<ScoreAtCube> study_score(const Score& score);

}  // namespace sixfold
