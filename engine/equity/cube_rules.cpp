#include "equity/cube_rules.h"

#include <algorithm>
#include <cassert>

#include "base/input_error.h"

namespace sixfold {
namespace {

/// Of the worth of outcomes, so that plays which the cube makes equal, all being passed, are told
/// apart.
constexpr double kTie = 1e-7;

CubeOwner seen_by(CubeSide side, CubeOwner owner) noexcept {
  return side == CubeSide::kPlayer ? owner : reversed(owner);
}

/// On the scale where single games at the value of `unit` are -1 and +1.
Stake rescaled(Stake stake, const Stake& unit) noexcept {
  stake.worth = equity_of(unit, stake.worth);
  stake.pass_lose = equity_of(unit, stake.pass_lose);
  stake.pass_win = equity_of(unit, stake.pass_win);
  return stake;
}

Stake opponents(const Stake& stake) noexcept {
  Stake other = stake;
  other.worth = opponents_worth(stake.worth);
  other.pass_lose = -stake.pass_win;
  other.pass_win = -stake.pass_lose;
  std::swap(other.roller_may_double, other.opponent_may_double);
  std::swap(other.roller_risks_nothing, other.opponent_risks_nothing);
  return other;
}

}  // namespace

Score by_money_rules(const Score& score, const MoneyRules& rules) {
  if (score.match && (rules.jacoby || rules.beavers)) {
    throw InputError("the Jacoby rule and beavers belong to money play", "score", "money");
  }
  return rules.jacoby ? by_jacoby_rule(score) : score;
}

CubeRules::CubeRules(const Score& score, const Cube& cube, const MoneyRules& rules,
                     std::shared_ptr<const TwoSidedTable> table)
    : score_name_(score.name), cube_(cube), rules_(rules), is_unlimited_(!score.match) {
  const Score played = by_money_rules(score, rules);
  const std::span<const Stake> all = stakes_from(played, cube);
  const std::span<const Stake> used = all.first(std::min(all.size(), kCubeValues));
  for (std::size_t k = 0; k < used.size(); ++k) {
    Stake stake = rescaled(used[k], used.front());
    if (k + 1 == used.size()) stake.roller_may_double = stake.opponent_may_double = false;
    for (std::size_t o = 0; o < kOutcomeCount; ++o) worth_.at[k][o] = stake.worth[o];
    worth_.at[k][kPassLost] = stake.pass_lose;
    worth_.at[k][kPassWon] = stake.pass_win;
    outcome_worth_[k] = score.match ? stake.worth : score.worth;
    play_worth_[0][k] = choosing_worth(outcome_worth_[k]);
    play_worth_[1][k] = opponents_worth(play_worth_[0][k]);
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      little_[0][k][o] = choosing_worth(stake.worth)[o] - stake.worth[o] + kTie * stake.worth[o];
    }
    little_[1][k] = opponents_worth(little_[0][k]);
    stakes_[0].push_back(stake);
    stakes_[1].push_back(opponents(stake));
  }
  // The table is for money without gammons, where the Jacoby rule changes nothing, and without
  // beavers.
  if (!score.match && !rules.beavers) table_ = std::move(table);
}

CubeLines CubeRules::lines(const OutcomeDistribution& outcomes, const CubeLives& lives,
                           const CubeState& state, CubeSide side) const noexcept {
  const std::span<const Stake> stakes = stakes_[static_cast<std::size_t>(side)];
  return {CubeModel(stakes.subspan(state.turns), outcomes, lives, is_unlimited_),
          seen_by(side, state.owner), rules_.beavers};
}

CubeDecision CubeRules::decide(const Position& position, const OutcomeDistribution& outcomes,
                               const CubeLives& lives, const CubeState& state,
                               CubeSide side) const noexcept {
  assert(!game_over(position));
  const Stake& stake = stakes_[static_cast<std::size_t>(side)][state.turns];
  if (is_exact(position) && stake.roller_may_double) {
    return exact_decision(table_->entry(position), seen_by(side, state.owner));
  }
  return lines(outcomes, lives, state, side).decide(outcomes);
}

double CubeRules::worth_of_play(const Position& after, const OutcomeDistribution& outcomes,
                                const CubeLives& lives, const CubeState& state,
                                CubeSide side) const noexcept {
  const auto own = static_cast<std::size_t>(side);
  const double little = worth_of(outcomes, little_[own][state.turns]);
  if (game_over(after)) return worth_of(outcomes, stakes_[own][state.turns].worth) + little;
  if (const auto exact = exact_equity(after, state, opposite(side))) {
    return side == CubeSide::kPlayer ? *exact : -*exact;
  }
  const OutcomeDistribution his = reversed(outcomes);
  const CubeSide other = opposite(side);
  const double equity = lines(his, reversed(lives), state, other).decide(his).equity();
  return little - sixfold::worth_at(stakes_[static_cast<std::size_t>(other)][state.turns], equity);
}

bool CubeRules::may_double(const CubeState& state, CubeSide side) const noexcept {
  return seen_by(side, state.owner) != CubeOwner::kOpponent &&
         stakes_[static_cast<std::size_t>(side)][state.turns].roller_may_double;
}

bool CubeRules::may_end(const CubeState& now, std::size_t turns, std::size_t end) const noexcept {
  if (turns < now.turns || turns >= stakes_[0].size()) return false;
  if (turns > now.turns && is_dead(now)) return false;
  if (end < kOutcomeCount) return true;
  const CubeSide doubler = end == kPassWon ? CubeSide::kPlayer : CubeSide::kOther;
  const CubeState then{turns, turns == now.turns ? now.owner : CubeOwner::kCentred};
  return may_double(then, doubler);
}

std::vector<CubeState> CubeRules::after_double() const {
  if (!may_double(start(), CubeSide::kPlayer)) return {};
  std::vector<CubeState> after{turned(start(), CubeSide::kPlayer, false)};
  if (rules_.beavers && stakes_[0].size() > 2) {
    after.push_back(turned(start(), CubeSide::kPlayer, true));
  }
  return after;
}

CubeState CubeRules::turned(const CubeState& state, CubeSide by, bool beavered) noexcept {
  return {state.turns + (beavered ? 2 : 1),
          by == CubeSide::kPlayer ? CubeOwner::kOpponent : CubeOwner::kRoller};
}

int CubeRules::points(std::size_t turns, std::size_t end) const noexcept {
  constexpr std::array<int, kCubeEnds> kEndPoints = [] {
    std::array<int, kCubeEnds> points{};
    std::copy(kPointsWon.begin(), kPointsWon.end(), points.begin());
    points[kPassLost] = -1;
    points[kPassWon] = 1;
    return points;
  }();
  const bool gammons_count = !rules_.jacoby || cube_.owner != CubeOwner::kCentred || turns > 0;
  const int points = gammons_count ? kEndPoints[end] : std::clamp(kEndPoints[end], -1, 1);
  return points * (1 << turns);
}

std::optional<double> CubeRules::exact_equity(const Position& position, const CubeState& state,
                                              CubeSide side) const noexcept {
  if (!is_exact(position)) return std::nullopt;
  const TwoSidedTable::Entry& entry = table_->entry(position);
  const CubeOwner owner = seen_by(side, state.owner);
  const double equity = owner == CubeOwner::kCentred  ? entry.centred
                        : owner == CubeOwner::kRoller ? entry.owned
                                                      : entry.opponents;
  const double value = static_cast<double>(1u << state.turns);
  return (side == CubeSide::kPlayer ? value : -value) * equity;
}

}  // namespace sixfold
