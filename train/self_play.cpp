#include "train/self_play.h"

#include <algorithm>
#include <array>

#include "rollout/random_stream.h"
#include "rules/game_result.h"

namespace sixfold {

GameRecord play_game(const Evaluator& evaluator, const Position& start, const OutcomeWorth& worth,
                     std::uint64_t seed, std::uint64_t game, ChoiceScratch& scratch) {
  const std::array<OutcomeWorth, 2> worths{worth, opponents_worth(worth)};
  RandomStream random(seed, game);
  GameRecord record;
  Position position = start;
  record.positions.push_back(position);
  while (!game_over(position)) {
    const OutcomeWorth& own = worths[record.rolls.size() % 2];
    record.rolls.push_back(random.roll());
    const Choice choice = best_play(evaluator, position, record.rolls.back(), own, scratch);
    position = position_after(position, choice.play);
    record.positions.push_back(position);
  }
  return record;
}

std::vector<TargetOutcomes> luck_of_rolls(const GameRecord& game, const OutcomeWorth& worth,
                                          const LuckSource& source, ChoiceScratch& scratch) {
  const std::array<OutcomeWorth, 2> worths{worth, opponents_worth(worth)};
  std::vector<TargetOutcomes> lucks(game.rolls.size());
  for (std::size_t t = 0; t < game.rolls.size(); ++t) {
    const Luck luck = source.luck(game.positions[t], game.rolls[t], worths[t % 2], scratch);
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      lucks[t][o] = static_cast<float>(luck.outcomes[o]);
    }
  }
  return lucks;
}

std::vector<TargetOutcomes> lambda_returns(const GameRecord& game,
                                           std::span<const TargetOutcomes> values,
                                           std::span<const TargetOutcomes> luck, float lambda) {
  const std::size_t count = game.positions.size() - 1;
  std::vector<TargetOutcomes> targets(count);
  TargetOutcomes next{};
  next[static_cast<std::size_t>(*game_result(game.positions.back()))] = 1.0f;
  for (std::size_t t = count; t-- > 0;) {
    // At the last position the return is the result itself, whatever lambda.
    if (t + 1 < count) {
      for (std::size_t o = 0; o < kOutcomeCount; ++o) {
        next[o] = (1.0f - lambda) * values[t + 1][o] + lambda * next[o];
      }
    }
    std::reverse(next.begin(), next.end());
    if (!luck.empty()) {
      for (std::size_t o = 0; o < kOutcomeCount; ++o) next[o] -= luck[t][o];
    }
    targets[t] = next;
  }
  return targets;
}

}  // namespace sixfold
