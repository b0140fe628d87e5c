#include "rollout/choice.h"

namespace sixfold {

Choice best_play(const Evaluator& evaluator, const Position& position, Roll roll,
                 const OutcomeWorth& worth, ChoiceScratch& scratch) noexcept {
  generate_plays(position, roll, scratch.plays);
  const std::span<const PlayKey> plays = scratch.plays.span();
  const std::span outcomes = std::span(scratch.outcomes).first(plays.size());
  evaluator.evaluate_children(position, plays, outcomes);
  std::size_t best = 0;
  double best_worth = worth_of(outcomes[0], worth);
  for (std::size_t i = 1; i < plays.size(); ++i) {
    const double value = worth_of(outcomes[i], worth);
    if (value > best_worth) {
      best = i;
      best_worth = value;
    }
  }
  return {plays[best], outcomes[best]};
}

}  // namespace sixfold
