#include "rollout/choice.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <limits>

#include "rules/game_result.h"

namespace sixfold {
namespace {

struct Candidate {
  std::size_t place;
  double worth;
};

constexpr double kOutOfSight = -std::numeric_limits<double>::infinity();

/// Evaluates all plays of a roll, which it leaves in `scratch` with what they are worth and their
/// outcomes or, where plays are chosen with the cube, outlooks.
void look_at_plays(const Evaluator& evaluator, const Position& position, Roll roll,
                   const PlayWorth& worth, ChoiceScratch& scratch) noexcept {
  generate_plays(position, roll, scratch.plays);
  const std::span<const PlayKey> plays = scratch.plays.span();
  const std::span worths = ChoiceScratch::first_of(scratch.worths, plays.size());
  if (worth.cube == nullptr) {
    const std::span outcomes = ChoiceScratch::first_of(scratch.outcomes, plays.size());
    evaluator.evaluate_children(position, plays, outcomes);
    for (std::size_t i = 0; i < plays.size(); ++i) {
      worths[i] = worth_of(outcomes[i], worth.outcomes);
    }
    return;
  }
  const std::span outlooks = ChoiceScratch::first_of(scratch.outlooks, plays.size());
  evaluator.evaluate_children_with_cube(position, plays, outlooks);
  double best = kOutOfSight;
  for (std::size_t i = 0; i < plays.size(); ++i) {
    worths[i] = worth_of(outlooks[i].outcomes, worth.outcomes);
    best = std::max(best, worths[i]);
  }
  for (std::size_t i = 0; i < plays.size(); ++i) {
    if (worths[i] < best - worth.close) {
      worths[i] = kOutOfSight;
      continue;
    }
    worths[i] = worth.cube->worth_of_play(position_after(position, plays[i]), outlooks[i].outcomes,
                                          outlooks[i].lives, worth.state, worth.side);
  }
}

Choice chosen(const PlayWorth& worth, const ChoiceScratch& scratch, const Candidate& best) {
  const PlayKey play = scratch.plays[best.place];
  if (worth.cube == nullptr) return {play, scratch.outcomes[best.place], {}, best.worth};
  const Outlook& outlook = scratch.outlooks[best.place];
  return {play, outlook.outcomes, outlook.lives, best.worth};
}

/// What a play is worth by the opponent's replies, which `replies` gets where there are any.
double worth_ahead(const Evaluator& evaluator, const Position& after, const Choice& play,
                   const PlayWorth& worth, std::optional<BestPlays>& replies,
                   ChoiceScratch& scratch) noexcept {
  if (const auto result = game_result(after)) {
    return worth.cube == nullptr ? worth_of(reversed(certain(*result)), worth.outcomes)
                                 : play.worth;
  }
  if (worth.cube == nullptr) {
    replies = best_plays(evaluator, after, opponents_worth(worth.outcomes), scratch);
    return worth_of(reversed(replies->mean()), worth.outcomes);
  }
  const CubeSide other = opposite(worth.side);
  const CubeDecision decision =
      worth.cube->decide(after, reversed(play.outcomes), reversed(*play.lives), worth.state, other);
  if (decision.action == CubeAction::kDoublePass) return play.worth;
  CubeState state = worth.state;
  if (decision.action == CubeAction::kDoubleTake) {
    state = CubeRules::turned(state, other, decision.is_beavered);
  }
  replies = best_plays(evaluator, after, PlayWorth(*worth.cube, state, other), scratch);
  return -replies->mean_worth();
}

}  // namespace

Choice best_play(const Evaluator& evaluator, const Position& position, Roll roll,
                 const PlayWorth& worth, ChoiceScratch& scratch) noexcept {
  assert(!game_over(position));
  look_at_plays(evaluator, position, roll, worth, scratch);
  Candidate best{0, scratch.worths[0]};
  for (std::size_t i = 1; i < scratch.plays.size(); ++i) {
    if (scratch.worths[i] > best.worth) best = {i, scratch.worths[i]};
  }
  return chosen(worth, scratch, best);
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

double BestPlays::mean_worth() const noexcept {
  double mean = 0.0;
  for (const Roll roll : kRolls) {
    mean += roll.weight() * of_roll[static_cast<std::size_t>(roll.index())].worth / kDiceOutcomes;
  }
  return mean;
}

BestPlays best_plays(const Evaluator& evaluator, const Position& position, const PlayWorth& worth,
                     ChoiceScratch& scratch) noexcept {
  BestPlays plays;
  for (const Roll roll : kRolls) {
    plays.of_roll[static_cast<std::size_t>(roll.index())] =
        best_play(evaluator, position, roll, worth, scratch);
  }
  return plays;
}

ChosenPlay best_play_ahead(const Evaluator& evaluator, const Position& position, Roll roll,
                           const PlayWorth& worth, ChoiceScratch& scratch) noexcept {
  assert(!game_over(position));
  look_at_plays(evaluator, position, roll, worth, scratch);
  const std::size_t count = scratch.plays.size();
  if (count == 1) return {scratch.plays[0]};
  std::array<Candidate, kLookaheadPlays> best{};
  std::size_t kept = 0;
  for (std::size_t i = 0; i < count; ++i) {
    const Candidate candidate{i, scratch.worths[i]};
    if (candidate.worth == kOutOfSight) continue;
    if (kept == best.size() && candidate.worth <= best.back().worth) continue;
    std::size_t at = kept < best.size() ? kept++ : kept - 1;
    for (; at > 0 && best[at - 1].worth < candidate.worth; --at) best[at] = best[at - 1];
    best[at] = candidate;
  }
  // Looking ahead uses the scratch, too.
  std::array<Choice, kLookaheadPlays> plays;
  for (std::size_t i = 0; i < kept; ++i) plays[i] = chosen(worth, scratch, best[i]);
  ChosenPlay decision;
  double highest = kOutOfSight;
  for (const Choice& play : std::span(plays).first(kept)) {
    std::optional<BestPlays> replies;
    const double value =
        worth_ahead(evaluator, position_after(position, play.play), play, worth, replies, scratch);
    if (value <= highest) continue;
    highest = value;
    decision = {play.play, replies};
    if (play.lives) decision.outlook = Outlook{play.outcomes, *play.lives};
  }
  return decision;
}

}  // namespace sixfold
