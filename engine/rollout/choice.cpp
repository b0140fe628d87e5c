#include "rollout/choice.h"

#include <array>
#include <cassert>
#include <limits>

#include "rules/game_result.h"

namespace sixfold {
namespace {

struct Candidate {
  PlayKey play;
  double worth;
};

}  // namespace

Choice best_play(const Evaluator& evaluator, const Position& position, Roll roll,
                 const OutcomeWorth& worth, ChoiceScratch& scratch) noexcept {
  assert(!game_over(position));
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

OutcomeDistribution BestPlays::mean() const noexcept {
  OutcomeDistribution mean;
  for (const Roll roll : kRolls) {
    OutcomeDistribution share = of_roll[static_cast<std::size_t>(roll.index())].outcomes;
    share *= static_cast<double>(roll.weight()) / kDiceOutcomes;
    mean += share;
  }
  return mean;
}

BestPlays best_plays(const Evaluator& evaluator, const Position& position,
                     const OutcomeWorth& worth, ChoiceScratch& scratch) noexcept {
  BestPlays plays;
  for (const Roll roll : kRolls) {
    plays.of_roll[static_cast<std::size_t>(roll.index())] =
        best_play(evaluator, position, roll, worth, scratch);
  }
  return plays;
}

ChosenPlay best_play_ahead(const Evaluator& evaluator, const Position& position, Roll roll,
                           const OutcomeWorth& worth, ChoiceScratch& scratch) noexcept {
  assert(!game_over(position));
  generate_plays(position, roll, scratch.plays);
  const std::size_t count = scratch.plays.size();
  if (count == 1) return {scratch.plays[0], std::nullopt};
  evaluator.evaluate_children(position, scratch.plays.span(),
                              std::span(scratch.outcomes).first(count));
  std::array<Candidate, kLookaheadPlays> best{};
  std::size_t kept = 0;
  for (std::size_t i = 0; i < count; ++i) {
    const Candidate candidate{scratch.plays[i], worth_of(scratch.outcomes[i], worth)};
    if (kept == best.size() && candidate.worth <= best.back().worth) continue;
    std::size_t at = kept < best.size() ? kept++ : kept - 1;
    for (; at > 0 && best[at - 1].worth < candidate.worth; --at) best[at] = best[at - 1];
    best[at] = candidate;
  }
  const OutcomeWorth reply_worth = opponents_worth(worth);
  ChosenPlay decision;
  double highest = -std::numeric_limits<double>::infinity();
  for (const Candidate& candidate : std::span(best).first(kept)) {
    const Position after = position_after(position, candidate.play);
    const auto result = game_result(after);
    std::optional<BestPlays> replies;
    if (!result) replies = best_plays(evaluator, after, reply_worth, scratch);
    const double value = worth_of(reversed(result ? certain(*result) : replies->mean()), worth);
    if (value <= highest) continue;
    highest = value;
    decision = {candidate.play, replies};
  }
  return decision;
}

}  // namespace sixfold
