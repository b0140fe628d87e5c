#include "study/score_study.h"

#include <span>

#include "equity/match_equity.h"

namespace sixfold {

std::vector<ScoreAtCube> study_score(const Score& score) {
  std::vector<ScoreAtCube> values;
  const std::size_t count = score.match ? score.stakes.size() : 1;
  for (std::size_t turns = 0; turns < count; ++turns) {
    const CubeModel model(std::span(score.stakes).subspan(turns), even_position(kMatchModel),
                          equal_lives(kMatchModel.cube_life), !score.match);
    values.push_back({1 << turns, gammon_prices(model.stake(0).worth), take_points(model)});
  }
  return values;
}

}  // namespace sixfold
