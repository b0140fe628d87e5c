#include "rollout/estimates.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <map>
#include <numeric>
#include <utility>

#include "rollout/bootstrap.h"
#include "rollout/roll_split.h"
#include "rollout/set_aside.h"

namespace sixfold {
namespace {

double mean_of(std::span<const double> values) {
  return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

template <typename Means, typename Worth>
std::vector<double> worths(const std::vector<Means>& blocks, const Worth& worth) {
  std::vector<double> values;
  values.reserve(blocks.size());
  for (const Means& block : blocks) values.push_back(worth_of(block.outcomes, worth));
  return values;
}

/// Blocks of best less blocks of other, over those that both have.
std::vector<double> paired_differences(std::span<const double> best,
                                       std::span<const double> other) {
  std::vector<double> differences(std::min(best.size(), other.size()));
  for (std::size_t i = 0; i < differences.size(); ++i) differences[i] = best[i] - other[i];
  return differences;
}

void move(Estimate& estimate, double shift) {
  estimate.mean += shift;
  estimate.half_width += std::abs(shift);
}

/// Takes what is below zero from another share. An interval whose middle is moved gets longer by as
/// much, so that it still holds what it held before.
void take(Estimate& below, Estimate& other) {
  if (below.mean >= 0.0) return;
  move(other, below.mean);
  below.mean = 0.0;
}

/// From the next smaller win or loss; where that is not enough, from the likeliest outcome.
void settle(std::array<Estimate, kOutcomeCount>& outcomes) {
  for (std::size_t i = 0; i + 1 < kOutcomeCount / 2; ++i) {
    take(outcomes[i], outcomes[i + 1]);
    take(outcomes[kOutcomeCount - 1 - i], outcomes[kOutcomeCount - 2 - i]);
  }
  Estimate& likeliest =
      *std::max_element(outcomes.begin(), outcomes.end(),
                        [](const Estimate& a, const Estimate& b) { return a.mean < b.mean; });
  for (Estimate& outcome : outcomes) take(outcome, likeliest);
}

/// From the likeliest end.
template <typename Share>
void settle(std::vector<Share>& shares) {
  const auto likeliest =
      std::max_element(shares.begin(), shares.end(),
                       [](const Share& a, const Share& b) { return a.share.mean < b.share.mean; });
  for (Share& one : shares) take(one.share, likeliest->share);
}

/// Equity of each group of so many blocks: with the cube where there is one.
std::vector<double> equities_of_width(const PlayBlocks& play, std::uint64_t width,
                                      const EstimateRules& rules) {
  if (rules.cube != nullptr) return worths(play.with_cube.groups_of(width), rules.cube->worth());
  return worths(play.series.groups_of(width), rules.worth);
}

/// What winning a single game instead of losing one is worth.
double win_against_loss(const EstimateRules& rules) {
  constexpr auto kWin = static_cast<std::size_t>(Outcome::kWinSingle);
  return rules.worth[kWin] - rules.worth[kWin - 1];
}

/// The same with the cube: mostly it has been turned once.
double cube_jump(const EstimateRules& rules) { return 2.0 * win_against_loss(rules); }

/// The difference of two plays' blocks in worth, best less other, over those that both have; `jump`
/// is what a trial that ends differently is worth.
template <typename Distribution, typename Worth>
Estimate difference_of(const BlockSeries<MeansOf<Distribution>>& other,
                       const BlockSeries<MeansOf<Distribution>>& best, bool all_known,
                       const Worth& worth, double jump, const EstimateRules& rules) {
  const std::uint64_t width = std::max(best.width(), other.width());
  const auto bests = best.groups_of(width);
  const auto others = other.groups_of(width);
  if (std::min(bests.size(), others.size()) < kFewestBlocks) {
    // Too few to be paired in groups: without regard to common dice.
    const Estimate own = estimate_from_blocks(worths(best.groups(), worth), rules.confidence);
    const Estimate its = estimate_from_blocks(worths(other.groups(), worth), rules.confidence);
    return {own.mean - its.mean, std::hypot(own.standard_error, its.standard_error),
            rules.widening * std::hypot(own.half_width, its.half_width),
            std::min(own.blocks, its.blocks)};
  }
  std::vector<double> differences;
  std::vector<double> luck;
  for (std::size_t i = 0; i < std::min(bests.size(), others.size()); ++i) {
    Distribution outcomes = bests[i].outcomes;
    Distribution taken_out = bests[i].luck;
    outcomes -= others[i].outcomes;
    taken_out -= others[i].luck;
    differences.push_back(worth_of(outcomes, worth));
    luck.push_back(worth_of(taken_out, worth));
  }
  Estimate difference = all_known ? estimate_from_blocks(differences, rules.confidence)
                                  : difference_from_blocks(differences, luck, jump,
                                                           width * kBlockTrials, rules.confidence);
  difference.half_width *= rules.widening;
  return difference;
}

/// Estimates of exclusive ends of one play, from one value for each group and end.
class Shares {
 public:
  Shares(const PlayBlocks& play, const EstimateRules& rules) : play_(play), rules_(rules) {}

  [[nodiscard]] Estimate of(const OutcomeWorth& share, bool is_open) const {
    return estimate(play_.series, share, is_open);
  }
  [[nodiscard]] Estimate of(const CubeResults& share) const {
    return estimate(play_.with_cube, share, true);
  }

 private:
  template <typename Distribution, typename Share>
  [[nodiscard]] Estimate estimate(const BlockSeries<MeansOf<Distribution>>& series,
                                  const Share& share, bool is_open) const {
    std::vector<double> values;
    std::vector<double> luck;
    for (const MeansOf<Distribution>& group : series.groups()) {
      values.push_back(worth_of(group.outcomes, share));
      luck.push_back(worth_of(group.luck, share));
    }
    Estimate estimate = is_open
                            ? probability_from_blocks(values, luck, series.width() * kBlockTrials,
                                                      rules_.confidence)
                            : estimate_from_blocks(values, rules_.confidence);
    estimate.half_width *= rules_.widening;
    return estimate;
  }

  const PlayBlocks& play_;
  const EstimateRules& rules_;
};

/// Ends are told of after up to so many turns of the cube even if none has been seen.
constexpr std::size_t kExpectedTurns = 2;

/// The ends that have been seen, that luck speaks of, or that are to be expected, and what they
/// come to in points.
RolledCube rolled_cube(const PlayBlocks& play, const EstimateRules& rules) {
  CubeResults seen;
  for (const CubeMeans& group : play.with_cube.groups()) {
    for (std::size_t k = 0; k < kCubeValues; ++k) {
      for (std::size_t i = 0; i < kCubeEnds; ++i) {
        seen.at[k][i] += std::abs(group.outcomes.at[k][i]) + std::abs(group.luck.at[k][i]);
      }
    }
  }
  const auto is_expected = [&](std::size_t turns, std::size_t end) {
    const bool is_possible = end >= kOutcomeCount || (play.possible >> end & 1u) != 0;
    return is_possible && turns <= kExpectedTurns &&
           rules.cube->may_end(play.start.cube, turns, end);
  };
  const Shares shares(play, rules);
  RolledCube rolled;
  std::map<int, CubeResults> by_points;
  std::array<CubeResults, 2> many;
  for (std::size_t k = 0; k < kCubeValues; ++k) {
    for (std::size_t i = 0; i < kCubeEnds; ++i) {
      if (seen.at[k][i] <= 0.0 && !is_expected(k, i)) continue;
      CubeResults one;
      one.at[k][i] = 1.0;
      rolled.ends.push_back({k, i, shares.of(one)});
      by_points[rules.cube->points(k, i)] += one;
    }
  }
  for (const auto& [points, share] : by_points) {
    rolled.points.push_back({points, shares.of(share)});
    if (points < -RolledCube::kManyPoints) many[0] += share;
    if (points > RolledCube::kManyPoints) many[1] += share;
  }
  rolled.lose_many = shares.of(many[0]);
  rolled.win_many = shares.of(many[1]);
  for (Estimate* rare : {&rolled.lose_many, &rolled.win_many})
    rare->mean = std::max(rare->mean, 0.0);
  settle(rolled.ends);
  settle(rolled.points);
  return rolled;
}

/// What settling rare outcomes has added to a share of a play's games.
double settled_by(const RolledPlay& rolled, const PlayBlocks& play, ShareOf share) {
  return share_of(rolled, share) - mean_of(worths(play.series.groups(), outcomes_in(share)));
}

/// What the cube adds to a play's cost: the blocks of the cost less those of the cubeless one.
Estimate added_by_cube(const PlayBlocks& play, const PlayBlocks& best, const EstimateRules& rules) {
  const std::uint64_t width = std::max(best.series.width(), play.series.width());
  const auto values = [&](const PlayBlocks& of) {
    std::vector<double> added;
    const auto without = of.series.groups_of(width);
    const auto with = of.with_cube.groups_of(width);
    for (std::size_t i = 0; i < with.size(); ++i) {
      added.push_back(worth_of(with[i].outcomes, rules.cube->worth()) -
                      worth_of(without[i].outcomes, rules.worth));
    }
    return added;
  };
  const std::vector<double> differences = paired_differences(values(best), values(play));
  // Too few to be paired in groups: no better known than the cost.
  if (differences.size() < kFewestBlocks) return cost_of(play, best, rules);
  Estimate added = estimate_from_blocks(differences, rules.confidence);
  added.half_width *= rules.widening;
  return added;
}

/// Cost, shares and parts by roll of a play against the best. Settling rare outcomes has moved
/// equities a little; what is compared moves with them.
void compare(RolledPlay& rolled, const PlayBlocks& play, const RolledPlay& best,
             const PlayBlocks& best_play, const EstimateRules& rules) {
  const auto settled = [&](const RolledPlay& of, const PlayBlocks& blocks) {
    return of.equity.mean - mean_of(equities(told(blocks), rules));
  };
  const SideBySide both = side_by_side(play, best_play);
  rolled.cost = cost_of(both.play, both.best, rules);
  move(rolled.cost, settled(best, best_play) - settled(rolled, play));
  for (std::size_t k = 0; k < kShareCount; ++k) {
    const auto share = static_cast<ShareOf>(k);
    rolled.shares[k] =
        difference_of(both.play.series, both.best.series, both.play.is_known && both.best.is_known,
                      outcomes_in(share), 1.0, rules);
    move(rolled.shares[k],
         settled_by(best, best_play, share) - settled_by(rolled, told(play), share));
  }
  if (rolled.cube) rolled.cube->added = added_by_cube(both.play, both.best, rules);
  rolled.by_roll = split_by_roll(both.play, both.best, rolled.cost, rules);
}

}  // namespace

std::vector<double> equities(const PlayBlocks& play, const EstimateRules& rules) {
  return equities_of_width(play, play.series.width(), rules);
}

Estimate cost_of(const PlayBlocks& other, const PlayBlocks& best, const EstimateRules& rules) {
  if (rules.cube == nullptr) {
    return difference_of(other.series, best.series, best.is_known && other.is_known, rules.worth,
                         win_against_loss(rules), rules);
  }
  return difference_of(other.with_cube, best.with_cube, false, rules.cube->worth(),
                       cube_jump(rules), rules);
}

RolledPlay estimate_of(const PlayBlocks& play, const EstimateRules& rules) {
  assert(play.series.groups().size() >= kFewestBlocks);
  RolledPlay rolled;
  rolled.play = play.play;
  const std::vector<BlockMeans>& groups = play.series.groups();
  rolled.trials = groups.size() * play.series.width() * kBlockTrials;
  const Shares shares(play, rules);
  for (std::size_t o = 0; o < kOutcomeCount; ++o) {
    OutcomeWorth share{};
    share[o] = 1.0;
    rolled.outcomes[o] = shares.of(share, (play.open >> o & 1u) != 0);
  }
  if (rules.keep_groups) {
    for (const BlockMeans& group : groups) rolled.groups.push_back(group.outcomes);
  }
  settle(rolled.outcomes);
  OutcomeDistribution means;
  for (std::size_t o = 0; o < kOutcomeCount; ++o) means[o] = rolled.outcomes[o].mean;
  rolled.equity = estimate_from_blocks(worths(groups, rules.worth), rules.confidence);
  rolled.equity.half_width *= rules.widening;
  move(rolled.equity, worth_of(means, rules.worth) - rolled.equity.mean);
  constexpr auto kWin = static_cast<std::size_t>(Outcome::kWinSingle);
  if (play.single_games) {
    // Equity says the same as the chance to win, and is no better known.
    rolled.equity.half_width = std::max(rolled.equity.half_width,
                                        win_against_loss(rules) * rolled.outcomes[kWin].half_width);
  }
  if (rules.cube == nullptr) return rolled;
  rolled.cube = rolled_cube(play, rules);
  rolled.cube->cubeless_equity = rolled.equity;
  std::vector<double> luck;
  for (const CubeMeans& group : play.with_cube.groups()) {
    luck.push_back(worth_of(group.luck, rules.cube->worth()));
  }
  rolled.equity = equity_from_blocks(equities(play, rules), luck, cube_jump(rules),
                                     play.series.width() * kBlockTrials, rules.confidence);
  rolled.equity.half_width *= rules.widening;
  return rolled;
}

std::vector<RolledPlay> estimates_of(const std::vector<PlayBlocks>& plays,
                                     const EstimateRules& rules) {
  std::uint64_t width = 1;
  for (const PlayBlocks& play : plays) width = std::max(width, play.series.width());
  std::size_t best = plays.size();
  std::vector<double> means;
  for (std::size_t i = 0; i < plays.size(); ++i) {
    means.push_back(mean_of(equities(told(plays[i]), rules)));
    if (!plays[i].told_from && (best == plays.size() || means[i] > means[best])) best = i;
  }
  std::vector<RolledPlay> rolled;
  std::vector<std::vector<double>> costs;
  for (std::size_t i = 0; i < plays.size(); ++i) {
    const SideBySide both = side_by_side(plays[i], plays[best]);
    rolled.push_back(estimate_of(told(plays[i]), rules));
    costs.push_back(paired_differences(equities_of_width(both.best, width, rules),
                                       equities_of_width(both.play, width, rules)));
    if (costs[i].size() < kFewestBlocks) {
      costs[i].assign(1, mean_of(equities(both.best, rules)) - means[i]);
    }
  }
  const std::vector<double> chances = best_probabilities(costs, rules.seed);
  const std::vector<std::size_t> rivals = rivals_of(plays, best, rules);
  for (std::size_t i = 0; i < rolled.size(); ++i) {
    rolled[i].best_probability = chances[i];
    if (i == best) continue;
    // The best may have become another since: what is not behind it for certain is told in full.
    if (plays[i].told_from) {
      const double least = least_behind(plays[i], plays, rivals, rules);
      if (least > 0.0) rolled[i].at_least = least;
    }
    compare(rolled[i], plays[i], rolled[best], plays[best], rules);
  }
  std::swap(rolled.front(), rolled[best]);
  std::stable_sort(rolled.begin() + 1, rolled.end(), [](const RolledPlay& a, const RolledPlay& b) {
    return a.cost.mean < b.cost.mean;
  });
  return rolled;
}

}  // namespace sixfold
