#include "equity/cube_model.h"

#include <algorithm>
#include <cassert>

namespace sixfold {

OutcomeShares::OutcomeShares(const OutcomeDistribution& outcomes) noexcept : share_{} {
  const auto fill = [&](std::size_t first, Outcome single) {
    const double total = outcomes[first] + outcomes[first + 1] + outcomes[first + 2];
    if (total <= 0.0) {
      share_[static_cast<std::size_t>(single)] = 1.0;
      return;
    }
    for (std::size_t o = first; o < first + kOutcomeCount / 2; ++o) share_[o] = outcomes[o] / total;
  };
  fill(0, Outcome::kLoseSingle);
  fill(kOutcomeCount / 2, Outcome::kWinSingle);
}

OutcomeDistribution OutcomeShares::at(double chance) const noexcept {
  OutcomeDistribution outcomes;
  for (std::size_t o = 0; o < kOutcomeCount; ++o) {
    outcomes[o] = (o < kOutcomeCount / 2 ? 1.0 - chance : chance) * share_[o];
  }
  return outcomes;
}

double OutcomeShares::mean_lost(const OutcomeWorth& worth) const noexcept {
  return share_[0] * worth[0] + share_[1] * worth[1] + share_[2] * worth[2];
}

double OutcomeShares::mean_won(const OutcomeWorth& worth) const noexcept {
  return share_[3] * worth[3] + share_[4] * worth[4] + share_[5] * worth[5];
}

double WorthLine::at(double p) const noexcept {
  std::size_t i = 0;
  while (i < 2 && p > chance[i + 1]) ++i;
  const double width = chance[i + 1] - chance[i];
  if (width <= 0.0) return worth[i + 1];
  return worth[i] + (worth[i + 1] - worth[i]) * (p - chance[i]) / width;
}

double WorthLine::crossing(double level) const noexcept {
  if (worth[0] >= level) return 0.0;
  for (std::size_t i = 0; i < 3; ++i) {
    const double rise = worth[i + 1] - worth[i];
    if (worth[i + 1] < level || rise <= 0.0) continue;
    return chance[i] + (chance[i + 1] - chance[i]) * (level - worth[i]) / rise;
  }
  return 1.0;
}

WorthLine::Passes WorthLine::passes(double p) const noexcept {
  const auto hat = [&](std::size_t top) {
    const double low = chance[top - 1];
    const double high = chance[top + 1];
    if (p <= low || p >= high) return 0.0;
    return p < chance[top] ? (p - low) / (chance[top] - low) : (high - p) / (high - chance[top]);
  };
  return {life[0] > 0.0 ? life[0] * hat(1) : 0.0, life[1] > 0.0 ? life[1] * hat(2) : 0.0};
}

CubeModel::CubeModel(std::span<const Stake> stakes, const OutcomeDistribution& outcomes,
                     const CubeLives& lives, bool is_unlimited) noexcept
    : stakes_(stakes),
      count_(is_unlimited ? std::min<std::size_t>(stakes.size(), 3) : stakes.size()),
      lives_(lives) {
  assert(count_ >= 1 && count_ <= kMaxCubeSteps);
  const OutcomeShares shares(outcomes);
  for (std::size_t k = 0; k < count_; ++k) {
    const OutcomeWorth& worth = stakes[k].worth;
    steps_[k] = {shares.mean_won(worth), shares.mean_lost(worth), 0.0, 1.0};
  }
  if (is_unlimited) {
    find_unlimited_points();
  } else {
    find_points();
  }
}

/// From the highest value down: whoever takes owns the cube at the next one.
void CubeModel::find_points() noexcept {
  assert(!stakes_.back().roller_may_double && !stakes_.back().opponent_may_double);
  for (std::size_t k = count_ - 1; k-- > 0;) {
    Step& step = steps_[k];
    step.take = live_worth(k + 1, CubeOwner::kRoller).crossing(stakes_[k].pass_lose);
    step.cash = live_worth(k + 1, CubeOwner::kOpponent).crossing(stakes_[k].pass_win);
  }
}

/// Where every value is followed by another one, the points follow from themselves: Janowski's, in
/// the mean points W and L of wins and losses, (L - 1/2) / (W + L + 1/2) and (L + 1) / (W + L +
/// 1/2).
void CubeModel::find_unlimited_points() noexcept {
  const std::size_t next = std::min<std::size_t>(1, count_ - 1);
  const double win = equity_of(stakes_[next], steps_[next].win);
  const double lose = -equity_of(stakes_[next], steps_[next].lose);
  const double all = win + lose + 0.5;
  for (std::size_t k = 0; k < count_; ++k) {
    steps_[k].take = (lose - 0.5) / all;
    steps_[k].cash = (lose + 1.0) / all;
  }
}

WorthLine CubeModel::dead_worth(std::size_t step) const noexcept {
  const Step& at = steps_[step];
  return {{0.0, 0.0, 1.0, 1.0}, {at.lose, at.lose, at.win, at.win}};
}

WorthLine CubeModel::live_worth(std::size_t step, CubeOwner owner) const noexcept {
  return line(step, owner, {1.0, 1.0});
}

/// The line on which the opponent and the roller have these shares of a live cube.
WorthLine CubeModel::line(std::size_t step, CubeOwner owner,
                          const std::array<double, 2>& lives) const noexcept {
  const Stake& stake = stakes_[step];
  const Step& at = steps_[step];
  WorthLine line = dead_worth(step);
  const bool takes = stake.opponent_may_double && owner != CubeOwner::kRoller && at.take > 0.0;
  const bool cashes = stake.roller_may_double && owner != CubeOwner::kOpponent && at.cash < 1.0;
  // Where stakes are so odd that nobody would take, no double is made.
  if (takes && cashes && at.take > at.cash) return line;
  const auto bend = [&](std::size_t point, double chance, double pass) {
    const double without = at.lose + chance * (at.win - at.lose);
    const double life = lives[point - 1];
    line.chance[point] = chance;
    line.worth[point] = without + life * (pass - without);
    line.life[point - 1] = life;
  };
  if (takes) bend(1, at.take, stake.pass_lose);
  if (cashes) bend(2, at.cash, stake.pass_win);
  return line;
}

/// Of the opponent's share and the roller's.
std::array<double, 2> CubeModel::lives_of(std::size_t step, CubeOwner owner) const noexcept {
  const Stake& stake = stakes_[step];
  const bool roller = owner != CubeOwner::kOpponent && stake.roller_may_double;
  const bool opponent = owner != CubeOwner::kRoller && stake.opponent_may_double;
  if ((roller && stake.roller_risks_nothing) || (opponent && stake.opponent_risks_nothing)) {
    return {1.0, 1.0};
  }
  // A cube in the middle that only one side may turn is as good as his.
  if (roller && opponent) return {lives_.centred_opponents, lives_.centred_own};
  return {lives_.opponents, lives_.own};
}

WorthLine CubeModel::worth(std::size_t step, CubeOwner owner) const noexcept {
  assert(step < count_);
  return line(step, owner, lives_of(step, owner));
}

}  // namespace sixfold
