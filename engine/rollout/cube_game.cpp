#include "rollout/cube_game.h"

#include <algorithm>
#include <cassert>

#include "rules/game_result.h"
#include "rules/plays.h"

namespace sixfold {
namespace {

OutcomeDistribution for_player(const OutcomeDistribution& outcomes, CubeSide side) noexcept {
  return side == CubeSide::kPlayer ? outcomes : reversed(outcomes);
}

/// An estimate of probabilities that may have left 0..1 by a little.
OutcomeDistribution made_proper(OutcomeDistribution outcomes) noexcept {
  double sum = 0.0;
  for (double& probability : outcomes.probability) {
    probability = std::max(probability, 0.0);
    sum += probability;
  }
  outcomes *= 1.0 / sum;
  return outcomes;
}

}  // namespace

CubeDecision CubeGame::decision_between(const Position& position, const Outlook& outlook,
                                        const Outlook& opponents, CubeSide side) const noexcept {
  const auto seen = [&](const Outlook& by) {
    return rules_.decide(position, by.outcomes, by.lives, state_, side);
  };
  CubeDecision decision = seen(side == CubeSide::kPlayer ? outlook : opponents);
  if (decision.action != CubeAction::kDoubleTake && decision.action != CubeAction::kDoublePass) {
    return decision;
  }
  const CubeDecision answer = seen(side == CubeSide::kPlayer ? opponents : outlook);
  decision.action = answer_of(answer);
  decision.is_beavered = answer.is_beavered;
  return decision;
}

void CubeGame::decide(const Position& position, const Outlook& outlook, CubeSide side,
                      bool may_double, const Outlook* opponents) noexcept {
  assert(!is_over_ && !game_over(position));
  before_ = outlook;
  if (!may_double) return;
  const CubeDecision decision =
      opponents != nullptr ? decision_between(position, outlook, *opponents, side)
                           : rules_.decide(position, outlook.outcomes, outlook.lives, state_, side);
  if (decision.action == CubeAction::kDoubleTake) {
    state_ = CubeRules::turned(state_, side, decision.is_beavered);
  } else if (decision.action == CubeAction::kDoublePass) {
    result_.at[state_.turns][side == CubeSide::kPlayer ? kPassWon : kPassLost] = 1.0;
    is_over_ = true;
  }
}

CubeGame::ExactPlay CubeGame::best_exact(const Position& position, Roll roll,
                                         CubeSide side) const noexcept {
  PlayList plays;
  generate_plays(position, roll, plays);
  const double sign = side == CubeSide::kPlayer ? 1.0 : -1.0;
  std::optional<ExactPlay> best;
  for (const PlayKey play : plays) {
    const Position after = position_after(position, play);
    ExactPlay found{play, {}};
    if (const auto result = game_result(after)) {
      found.prospect.outcomes = reversed(certain(*result));
      CubeGame ended(rules_, evaluator_, state_);
      ended.end(for_player(found.prospect.outcomes, side));
      found.prospect.equity = worth_of(ended.result_, rules_.worth());
    } else {
      found.prospect.equity = rules_.exact_equity(after, state_, opposite(side));
    }
    if (best && sign * *found.prospect.equity <= sign * *best->prospect.equity) continue;
    best = found;
  }
  const Position after = position_after(position, best->play);
  if (!game_over(after)) best->prospect.outcomes = reversed(evaluator_.evaluate(after));
  return *best;
}

std::optional<PlayKey> CubeGame::exact_play(const Position& position, Roll roll,
                                            CubeSide side) const noexcept {
  if (!is_exact(position)) return std::nullopt;
  return best_exact(position, roll, side).play;
}

void CubeGame::take_exact_luck(const Position& position, Roll roll, CubeSide side) noexcept {
  std::array<Prospect, kRollCount> prospects;
  for (std::size_t r = 0; r < kRollCount; ++r) {
    prospects[r] = best_exact(position, kRolls[r], side).prospect;
  }
  take_luck_among(prospects, roll, side);
}

void CubeGame::take_luck(const LuckOfRolls& luck, Roll roll, CubeSide side) noexcept {
  assert(!is_over_);
  std::array<Prospect, kRollCount> prospects;
  for (std::size_t r = 0; r < kRollCount; ++r) {
    OutcomeDistribution outcomes = before_.outcomes;
    outcomes += luck[r].outcomes;
    prospects[r] = {made_proper(outcomes), luck[r].lives};
  }
  take_luck_among(prospects, roll, side);
}

void CubeGame::shift_to(CubeResults& results, double equity) const noexcept {
  const double missing = equity - worth_of(results, rules_.worth());
  const auto& worth = rules_.worth().at[state_.turns];
  const double shift = missing / (worth[kPassWon] - worth[kPassLost]);
  results.at[state_.turns][kPassWon] += shift;
  results.at[state_.turns][kPassLost] -= shift;
}

CubeEnds CubeGame::ends_of(const Outlook& outlook, CubeSide side) const noexcept {
  return {rules_.lines(outlook.outcomes, outlook.lives, state_, side), outlook.outcomes};
}

void CubeGame::take_luck_among(const std::array<Prospect, kRollCount>& prospects, Roll roll,
                               CubeSide side) noexcept {
  const CubeSide other = opposite(side);
  const CubeEnds near = ends_of(reversed(before_), other);
  CubeResults luck;  // For the side that decides after the roll.
  for (const Roll next : kRolls) {
    const Prospect& prospect = prospects[static_cast<std::size_t>(next.index())];
    const OutcomeDistribution his = reversed(prospect.outcomes);
    const double share = (next == roll ? 1.0 : 0.0) - next.weight() / double{kDiceOutcomes};
    if (prospect.lives) {
      ends_of({his, reversed(*prospect.lives)}, other).add_to(luck, share, his, state_.turns);
    } else if (prospect.equity) {
      CubeResults results;
      near.add_to(results, 1.0, his, state_.turns);
      if (other != CubeSide::kPlayer) results = reversed(results);
      shift_to(results, *prospect.equity);
      results *= share;
      luck_ += results;
    } else {
      near.add_to(luck, share, his, state_.turns);
    }
  }
  luck_ += other == CubeSide::kPlayer ? luck : reversed(luck);
}

void CubeGame::end(const OutcomeDistribution& outcomes) noexcept {
  for (std::size_t o = 0; o < kOutcomeCount; ++o) result_.at[state_.turns][o] = outcomes[o];
  is_over_ = true;
}

void CubeGame::cut(const Position& position, CubeSide side) noexcept {
  const Outlook outlook = evaluator_.evaluate_with_cube(position);
  ends_of(outlook, side).add_to(result_, 1.0, outlook.outcomes, state_.turns);
  if (side != CubeSide::kPlayer) result_ = reversed(result_);
  if (const auto equity = rules_.exact_equity(position, state_, side)) shift_to(result_, *equity);
  is_over_ = true;
}

CubeMeans CubeGame::means() const noexcept {
  assert(is_over_);
  CubeMeans means{result_, luck_};
  means.outcomes -= luck_;
  return means;
}

}  // namespace sixfold
