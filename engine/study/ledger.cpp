#include "study/ledger.h"

#include <cmath>

namespace sixfold {
namespace {

/// What one more game of a kind is worth: that of its outcomes less that of the kind around it.
double price_of(ShareOf share, const OutcomeWorth& worth) {
  switch (share) {
    case ShareOf::kWins:
      return worth[3] - worth[2];
    case ShareOf::kGammonsWon:
      return worth[4] - worth[3];
    case ShareOf::kBackgammonsWon:
      return worth[5] - worth[4];
    case ShareOf::kGammonsLost:
      return worth[1] - worth[2];
    case ShareOf::kBackgammonsLost:
      break;
  }
  return worth[0] - worth[1];
}

}  // namespace

Ledger ledger_of(const RolledPlay& play, const OutcomeWorth& worth) {
  Ledger ledger{{}, std::nullopt, play.cost};
  for (std::size_t i = 0; i < kShareCount; ++i) {
    const double price = price_of(static_cast<ShareOf>(i), worth);
    const Estimate& change = play.shares[i];
    ledger.lines[i] = {change,
                       price,
                       {change.mean * price + 0.0, change.standard_error * std::abs(price),
                        change.half_width * std::abs(price), change.blocks}};
  }
  if (!play.cube) return ledger;
  // What is left of the cost: settling rare outcomes has moved the other lines a little.
  ledger.cube = play.cube->added;
  double left = ledger.cost.mean;
  for (const LedgerLine& line : ledger.lines) left -= line.worth.mean;
  ledger.cube->half_width += std::abs(left - ledger.cube->mean);
  ledger.cube->mean = left;
  return ledger;
}

Ledger static_ledger(const Decision& decision, const EvaluatedPlay& best,
                     const EvaluatedPlay& other) {
  const std::optional<CubeRules> rules = cube_rules(decision, {});
  RolledPlay play;
  play.cost.mean = best.equity - other.equity;
  for (std::size_t i = 0; i < kShareCount; ++i) {
    const OutcomeWorth counted = outcomes_in(static_cast<ShareOf>(i));
    play.shares[i].mean = worth_of(best.outcomes, counted) - worth_of(other.outcomes, counted);
  }
  if (rules) play.cube.emplace();
  return ledger_of(play, rules ? rules->outcome_worth() : decision.score.worth);
}

}  // namespace sixfold
