#include "equity/cube_rules.h"

#include <algorithm>
#include <cassert>

#include "base/input_error.h"

namespace sixfold {
namespace {

CubeOwner seen_by(CubeSide side, CubeOwner owner) noexcept {
  if (side == CubeSide::kPlayer || owner == CubeOwner::kCentred) return owner;
  return owner == CubeOwner::kRoller ? CubeOwner::kOpponent : CubeOwner::kRoller;
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

/// Adds the outcomes from `first` on, three wins or losses, in their proportions and with this
/// weight; a single game where none of them happens.
void add_games(std::array<double, kCubeEnds>& ends, const OutcomeDistribution& outcomes,
               std::size_t first, double weight) noexcept {
  const double total = outcomes[first] + outcomes[first + 1] + outcomes[first + 2];
  if (total <= 0.0) {
    ends[first == 0 ? first + 2 : first] += weight;
    return;
  }
  for (std::size_t o = first; o < first + 3; ++o) ends[o] += weight * outcomes[o] / total;
}

/// Adds ends whose worth is that of a live cube's line at the chance `p`.
void add_live(std::array<double, kCubeEnds>& ends, const WorthLine& line, double p,
              const OutcomeDistribution& outcomes, double weight) noexcept {
  std::size_t i = 0;
  while (i < 2 && p > line.chance[i + 1]) ++i;
  const double width = line.chance[i + 1] - line.chance[i];
  const double upper = width > 0.0 ? weight * (p - line.chance[i]) / width : weight;
  const auto add = [&](std::size_t point, double share) {
    const bool lost = point == 0 || (point == 1 && line.chance[1] <= 0.0);
    const bool won = point == 3 || (point == 2 && line.chance[2] >= 1.0);
    if (lost || won) {
      add_games(ends, outcomes, lost ? 0 : kOutcomeCount / 2, share);
    } else {
      ends[point == 1 ? kPassLost : kPassWon] += share;
    }
  };
  add(i, weight - upper);
  add(i + 1, upper);
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
    : score_name_(score.name), cube_(cube), rules_(rules) {
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
    stakes_[0].push_back(stake);
    stakes_[1].push_back(opponents(stake));
  }
  // The table is for money without gammons, where the Jacoby rule changes nothing, and without
  // beavers.
  if (!score.match && !rules.beavers) table_ = std::move(table);
}

CubeModel CubeRules::model(const OutcomeDistribution& outcomes, bool is_race,
                           const CubeState& state, CubeSide side) const noexcept {
  return {std::span(stakes_[static_cast<std::size_t>(side)]).subspan(state.turns), outcomes,
          is_race ? kRaceCubeLife : kContactCubeLife};
}

CubeDecision CubeRules::decide(const Position& position, const OutcomeDistribution& outcomes,
                               const CubeState& state, CubeSide side) const noexcept {
  assert(!game_over(position));
  const CubeOwner owner = seen_by(side, state.owner);
  const Stake& stake = stakes_[static_cast<std::size_t>(side)][state.turns];
  if (is_exact(position) && stake.roller_may_double) {
    return exact_decision(table_->entry(position), owner);
  }
  return doubling_by(model(outcomes, is_race(position), state, side), 0, owner,
                     outcomes.win_probability(), rules_.beavers);
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

CubeResults CubeRules::outlook(const OutcomeDistribution& outcomes, bool is_race,
                               const CubeState& state, CubeSide side) const noexcept {
  const CubeModel lines = model(outcomes, is_race, state, side);
  const double p = outcomes.win_probability();
  CubeOwner owner = seen_by(side, state.owner);
  const CubeDecision decision = doubling_by(lines, 0, owner, p, rules_.beavers);
  CubeResults results;
  std::size_t step = 0;
  if (decision.action == CubeAction::kDoublePass) {
    results.at[state.turns][kPassWon] = 1.0;
    return side == CubeSide::kPlayer ? results : reversed(results);
  }
  if (decision.action == CubeAction::kDoubleTake) {
    step = decision.is_beavered ? 2 : 1;
    owner = CubeOwner::kOpponent;
  }
  auto& ends = results.at[state.turns + step];
  const double life = lines.life(step, owner);
  add_live(ends, lines.live_worth(step, owner), p, outcomes, life);
  for (std::size_t o = 0; o < kOutcomeCount; ++o) ends[o] += (1.0 - life) * outcomes[o];
  return side == CubeSide::kPlayer ? results : reversed(results);
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
