#include "rollout/luck.h"

namespace sixfold {
namespace {

Luck luck_of(const Choice& choice, const OutcomeDistribution& mean) noexcept {
  Luck luck{choice.outcomes, choice.play, choice.lives};
  luck.outcomes -= mean;
  return luck;
}

}  // namespace

Luck luck_among(const BestPlays& plays, Roll roll) noexcept {
  return luck_of(plays.of_roll[static_cast<std::size_t>(roll.index())], plays.mean());
}

LuckOfRolls luck_among(const BestPlays& plays) noexcept {
  const OutcomeDistribution mean = plays.mean();
  LuckOfRolls luck;
  for (std::size_t r = 0; r < kRollCount; ++r) luck[r] = luck_of(plays.of_roll[r], mean);
  return luck;
}

LuckOfRolls LuckSource::luck_of_rolls(const Position& position, const PlayWorth& worth,
                                      ChoiceScratch& scratch) const noexcept {
  LuckOfRolls all;
  for (std::size_t r = 0; r < kRollCount; ++r) all[r] = luck(position, kRolls[r], worth, scratch);
  return all;
}

LuckOfRolls NetworkLuck::luck_of_rolls(const Position& position, const PlayWorth&,
                                       ChoiceScratch&) const noexcept {
  const auto outcomes = network_for(position).luck_of_rolls(position);
  LuckOfRolls all;
  for (std::size_t r = 0; r < kRollCount; ++r) all[r].outcomes = outcomes[r];
  return all;
}

}  // namespace sixfold
