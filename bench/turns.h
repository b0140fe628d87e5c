// Positions and rolls of an evaluator's games against itself, to measure work on.
#pragma once

#include <vector>

#include "rollout/choice.h"
#include "rollout/random_stream.h"
#include "rules/start.h"

namespace sixfold {

struct Turn {
  Position position;
  Roll roll;
};

// The turns of a few games, and how many plays they have.
struct Turns {
  std::vector<Turn> list;
  double plays = 0.0;
};

inline Turns played_turns(const Evaluator& evaluator, std::uint64_t games) {
  Turns turns;
  ChoiceScratch scratch;
  for (std::uint64_t game = 0; game < games; ++game) {
    RandomStream dice(7, game);
    Position position = start_position();
    while (!game_over(position)) {
      const Roll roll = dice.roll();
      turns.list.push_back({position, roll});
      const Choice choice = best_play(evaluator, position, roll, kMoneyWorth, scratch);
      turns.plays += static_cast<double>(scratch.plays.size());
      position = position_after(position, choice.play);
    }
  }
  return turns;
}

}  // namespace sixfold
