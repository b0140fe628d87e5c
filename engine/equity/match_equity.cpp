#include "equity/match_equity.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <numbers>
#include <utility>

namespace sixfold {
namespace {

constexpr bool is_chance(double value) { return value >= 0.0 && value <= 1.0; }

/// The mean of the lesser of x and `limit`, x being normal.
/// Source: Clark C., The greatest of a finite set of random variables, Operations Research 9, 1961.
double mean_of_lesser(double mean, double deviation, double limit) {
  const double z = (limit - mean) / deviation;
  const double density = std::exp(-z * z / 2.0) / std::sqrt(2.0 * std::numbers::pi);
  const double below = std::erfc(-z / std::numbers::sqrt2) / 2.0;
  return mean * below + limit * (1.0 - below) - deviation * density;
}

/// The mean of chance(points) over the points of a win at a value of the cube.
template <typename Chance>
double mean_over_wins(const MatchModel& model, int value, Chance chance) {
  return (1.0 - model.gammon_share) * chance(value) +
         (model.gammon_share - model.backgammon_share) * chance(2 * value) +
         model.backgammon_share * chance(3 * value);
}

}  // namespace

OutcomeDistribution even_position(const MatchModel& model) noexcept {
  OutcomeDistribution outcomes;
  outcomes[5] = outcomes[0] = model.backgammon_share / 2.0;
  outcomes[4] = outcomes[1] = (model.gammon_share - model.backgammon_share) / 2.0;
  outcomes[3] = outcomes[2] = (1.0 - model.gammon_share) / 2.0;
  return outcomes;
}

MatchEquityTable::MatchEquityTable(const MatchModel& model, int most_away)
    : most_away_(most_away),
      chances_(static_cast<std::size_t>(most_away * most_away), 0.5),
      after_crawford_(static_cast<std::size_t>(most_away), 0.5) {
  assert(most_away >= 1 && most_away <= kMostAway);
  fill_after_crawford(model);
  fill_crawford(model);
  // Each score needs those with fewer points to go.
  for (int sum = 4; sum <= 2 * most_away; ++sum) {
    for (int away = std::max(2, sum - most_away); 2 * away < sum; ++away) {
      const double chance = with_cube(model, away, sum - away);
      chances_[place(away, sum - away)] = chance;
      chances_[place(sum - away, away)] = 1.0 - chance;
    }
  }
}

MatchEquityTable::MatchEquityTable(std::vector<double> before, std::vector<double> after_crawford)
    : most_away_(static_cast<int>(after_crawford.size())),
      chances_(std::move(before)),
      after_crawford_(std::move(after_crawford)) {
  assert(chances_.size() == after_crawford_.size() * after_crawford_.size());
  assert(std::all_of(chances_.begin(), chances_.end(), is_chance));
  assert(std::all_of(after_crawford_.begin(), after_crawford_.end(), is_chance));
}

void MatchEquityTable::fill_after_crawford(const MatchModel& model) {
  for (int away = 2; away <= most_away_; ++away) {
    const double won = mean_over_wins(
        model, 2, [&](int points) { return away <= points ? 1.0 : after_crawford(away - points); });
    after_crawford_[static_cast<std::size_t>(away - 1)] =
        mean_of_lesser(0.5 * won, model.first_rolls_deviation * won, after_crawford(away - 1));
  }
}

void MatchEquityTable::fill_crawford(const MatchModel& model) {
  for (int away = 2; away <= most_away_; ++away) {
    const double chance = 0.5 * mean_over_wins(model, 1, [&](int points) {
                            return away <= points ? 1.0 : after_crawford(away - points);
                          });
    chances_[place(away, 1)] = chance;
    chances_[place(1, away)] = 1.0 - chance;
  }
}

double MatchEquityTable::with_cube(const MatchModel& model, int away, int other) const {
  const MatchScore score{away, other, MatchPhase::kBeforeCrawford};
  const std::vector<Stake> stakes = match_stakes(*this, score, 1);
  const CubeModel cube(stakes, even_position(model), equal_lives(model.cube_life));
  return cube.worth(0, CubeOwner::kCentred).at(0.5);
}

double MatchEquityTable::chance(int away, int other) const noexcept {
  assert(away <= most_away_ && other <= most_away_);
  if (away <= 0) return 1.0;
  if (other <= 0) return 0.0;
  return chances_[place(away, other)];
}

double MatchEquityTable::after_crawford(int away) const noexcept {
  assert(away <= most_away_);
  return away <= 0 ? 1.0 : after_crawford_[static_cast<std::size_t>(away - 1)];
}

const MatchEquityTable& own_match_equities() {
  static const MatchEquityTable kTable;
  return kTable;
}

double chance_after(const MatchEquityTable& table, const MatchScore& score, int points) noexcept {
  const int away = score.roller_away - std::max(points, 0);
  const int other = score.opponent_away + std::min(points, 0);
  if (away <= 0) return 1.0;
  if (other <= 0) return 0.0;
  if (score.phase == MatchPhase::kBeforeCrawford) return table.chance(away, other);
  return other == 1 ? table.after_crawford(away) : 1.0 - table.after_crawford(other);
}

std::vector<Stake> match_stakes(const MatchEquityTable& table, const MatchScore& score, int value) {
  std::vector<Stake> stakes;
  for (bool is_last = false; !is_last; value *= 2) {
    Stake stake;
    for (std::size_t i = 0; i < kOutcomeCount; ++i) {
      stake.worth[i] = chance_after(table, score, kPointsWon[i] * value);
    }
    stake.pass_lose = stake.worth[2];
    stake.pass_win = stake.worth[3];
    if (score.phase != MatchPhase::kCrawford) {
      stake.roller_may_double = score.roller_away > value;
      stake.opponent_may_double = score.opponent_away > value;
      stake.roller_risks_nothing = score.opponent_away <= value;
      stake.opponent_risks_nothing = score.roller_away <= value;
    }
    is_last = !stake.roller_may_double && !stake.opponent_may_double;
    stakes.push_back(stake);
  }
  return stakes;
}

}  // namespace sixfold
