#include "train/self_play.h"

#include <algorithm>
#include <array>
#include <optional>

#include "rollout/random_stream.h"
#include "rules/game_result.h"

namespace sixfold {
namespace {

/// One of the plays within `gap` of the best, each with the same chance; none if there is no other.
/// `scratch` holds the plays of the turn as best_play leaves them.
std::optional<PlayKey> another_play(const Choice& best, double gap, const OutcomeWorth& worth,
                                    const ChoiceScratch& scratch, RandomStream& random) {
  const double least = worth_of(best.outcomes, worth) - gap;
  std::optional<PlayKey> chosen;
  std::uint32_t count = 0;
  for (std::size_t i = 0; i < scratch.plays.size(); ++i) {
    if (scratch.plays[i] == best.play || worth_of(scratch.outcomes[i], worth) < least) continue;
    if (random.below(++count) == 0) chosen = scratch.plays[i];
  }
  return chosen;
}

}  // namespace

TargetOutcomes in_floats(const OutcomeDistribution& outcomes) noexcept {
  TargetOutcomes floats;
  for (std::size_t o = 0; o < kOutcomeCount; ++o) floats[o] = static_cast<float>(outcomes[o]);
  return floats;
}

GameRecord play_game(const Evaluator& evaluator, const Position& start, const OutcomeWorth& worth,
                     std::uint64_t seed, std::uint64_t game, ChoiceScratch& scratch,
                     const Exploration& exploration) {
  const std::array<OutcomeWorth, 2> worths{worth, opponents_worth(worth)};
  RandomStream random(seed, game);
  GameRecord record;
  Position position = start;
  record.positions.push_back(position);
  while (!game_over(position)) {
    const OutcomeWorth& own = worths[record.rolls.size() % 2];
    record.rolls.push_back(random.roll());
    const Choice choice = best_play(evaluator, position, record.rolls.back(), own, scratch);
    PlayKey play = choice.play;
    if (exploration.share > 0.0 && random.uniform() < exploration.share) {
      if (const auto other = another_play(choice, exploration.gap, own, scratch, random)) {
        play = *other;
        record.tried.push_back({record.rolls.size() - 1, in_floats(choice.outcomes)});
      }
    }
    position = position_after(position, play);
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
    lucks[t] = in_floats(luck.outcomes);
  }
  return lucks;
}

std::vector<TargetOutcomes> mended_luck_of_rolls(const GameRecord& game, const OutcomeWorth& worth,
                                                 const LuckSource& source,
                                                 const Evaluator& evaluator, int rolls,
                                                 RandomStream& random, ChoiceScratch& scratch) {
  const std::array<OutcomeWorth, 2> worths{worth, opponents_worth(worth)};
  std::vector<TargetOutcomes> lucks(game.rolls.size());
  for (std::size_t t = 0; t < game.rolls.size(); ++t) {
    const Position& position = game.positions[t];
    const LuckOfRolls estimated = source.luck_of_rolls(position, worths[t % 2], scratch);
    const auto estimate = [&](Roll roll) -> const OutcomeDistribution& {
      return estimated[static_cast<std::size_t>(roll.index())].outcomes;
    };
    if (is_race(position)) {
      lucks[t] = in_floats(estimate(game.rolls[t]));
      continue;
    }
    OutcomeDistribution luck;  // The value after the game's roll, less the position's.
    OutcomeDistribution position_value;
    Roll roll = game.rolls[t];
    for (int k = 0; k < rolls; ++k, roll = random.roll()) {
      OutcomeDistribution value =
          best_play(evaluator, position, roll, worths[t % 2], scratch).outcomes;
      if (k == 0) luck = value;
      value -= estimate(roll);
      position_value += value;
    }
    position_value *= 1.0 / rolls;
    luck -= position_value;
    lucks[t] = in_floats(luck);
  }
  return lucks;
}

std::vector<TargetOutcomes> lambda_returns(const GameRecord& game,
                                           std::span<const TargetOutcomes> values,
                                           std::span<const TargetOutcomes> luck, float lambda) {
  const std::size_t count = game.positions.size() - 1;
  std::vector<TargetOutcomes> targets(count);
  TargetOutcomes next{};
  auto tried = game.tried.rbegin();
  next[static_cast<std::size_t>(*game_result(game.positions.back()))] = 1.0f;
  for (std::size_t t = count; t-- > 0;) {
    // At the last position the return is the result itself, whatever lambda.
    if (t + 1 < count) {
      for (std::size_t o = 0; o < kOutcomeCount; ++o) {
        next[o] = (1.0f - lambda) * values[t + 1][o] + lambda * next[o];
      }
    }
    std::reverse(next.begin(), next.end());
    if (tried != game.tried.rend() && tried->turn == t) next = tried++->best;
    if (!luck.empty()) {
      for (std::size_t o = 0; o < kOutcomeCount; ++o) next[o] -= luck[t][o];
    }
    targets[t] = next;
  }
  return targets;
}

}  // namespace sixfold
