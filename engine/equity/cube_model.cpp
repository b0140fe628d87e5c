#include "equity/cube_model.h"

#include <cassert>

namespace sixfold {
namespace {

/// Of the three outcomes from `first` on; that of a single game where none of them happens.
double mean_worth(const OutcomeDistribution& outcomes, const OutcomeWorth& worth, std::size_t first,
                  Outcome single) noexcept {
  double total = 0.0;
  double sum = 0.0;
  for (std::size_t i = first; i < first + kOutcomeCount / 2; ++i) {
    total += outcomes[i];
    sum += outcomes[i] * worth[i];
  }
  return total > 0.0 ? sum / total : worth[static_cast<std::size_t>(single)];
}

}  // namespace

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

CubeModel::CubeModel(std::span<const Stake> stakes, const OutcomeDistribution& outcomes,
                     double life) noexcept
    : count_(stakes.size()), life_(life) {
  assert(count_ >= 1 && count_ <= kMaxCubeSteps);
  assert(life >= 0.0 && life <= 1.0);
  assert(!stakes.back().roller_may_double && !stakes.back().opponent_may_double);
  for (std::size_t k = 0; k < count_; ++k) {
    const OutcomeWorth& worth = stakes[k].worth;
    steps_[k].stake = stakes[k];
    steps_[k].win = mean_worth(outcomes, worth, kOutcomeCount / 2, Outcome::kWinSingle);
    steps_[k].lose = mean_worth(outcomes, worth, 0, Outcome::kLoseSingle);
  }
  // From the highest value down: whoever takes owns the cube at the next one.
  for (std::size_t k = count_ - 1; k-- > 0;) {
    Step& step = steps_[k];
    const Step& next = steps_[k + 1];
    step.take = live_line(next, CubeOwner::kRoller).crossing(step.stake.pass_lose);
    step.cash = live_line(next, CubeOwner::kOpponent).crossing(step.stake.pass_win);
  }
}

WorthLine CubeModel::dead_worth(std::size_t step) const noexcept { return dead_line(steps_[step]); }

WorthLine CubeModel::dead_line(const Step& step) noexcept {
  return {{0.0, 0.0, 1.0, 1.0}, {step.lose, step.lose, step.win, step.win}};
}

WorthLine CubeModel::live_line(const Step& step, CubeOwner owner) noexcept {
  WorthLine line = dead_line(step);
  if (step.stake.opponent_may_double && owner != CubeOwner::kRoller && step.take > 0.0) {
    line.chance[1] = step.take;
    line.worth[1] = step.stake.pass_lose;
  }
  if (step.stake.roller_may_double && owner != CubeOwner::kOpponent && step.cash < 1.0) {
    line.chance[2] = step.cash;
    line.worth[2] = step.stake.pass_win;
  }
  // Where stakes are so odd that nobody would take, no double is made.
  if (line.chance[1] > line.chance[2]) return dead_line(step);
  return line;
}

double CubeModel::life(std::size_t step, CubeOwner owner) const noexcept {
  const Stake& stake = steps_[step].stake;
  const bool doubles_at_once =
      (owner != CubeOwner::kOpponent && stake.roller_may_double && stake.roller_risks_nothing) ||
      (owner != CubeOwner::kRoller && stake.opponent_may_double && stake.opponent_risks_nothing);
  return doubles_at_once ? 1.0 : life_;
}

WorthLine CubeModel::worth(std::size_t step, CubeOwner owner) const noexcept {
  assert(step < count_);
  const double live = life(step, owner);
  const WorthLine dead = dead_worth(step);
  WorthLine line = live_worth(step, owner);
  for (std::size_t i = 0; i < line.worth.size(); ++i) {
    line.worth[i] = live * line.worth[i] + (1.0 - live) * dead.at(line.chance[i]);
  }
  return line;
}

}  // namespace sixfold
