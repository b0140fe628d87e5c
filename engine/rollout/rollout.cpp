#include "rollout/rollout.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <utility>

#include "exact/workers.h"
#include "rollout/block_series.h"
#include "rollout/bootstrap.h"
#include "rollout/dice_plan.h"
#include "rules/game_result.h"

namespace sixfold {
namespace {

constexpr std::uint64_t kFewestBlocks = 6;
/// With a wanted half-width, contenders go on by at most this share of the trials they have, and by
/// at least that one; in between as far as the half-width seems to ask for, and a little more.
constexpr double kGrowth = 0.5;
constexpr double kLeastGrowth = 0.05;
constexpr double kForesight = 1.03;
/// Blocks of all plays that are handed out at a time: enough to keep many threads busy, few enough
/// to hold.
constexpr std::uint64_t kBlocksAtATime = 8192;
/// Looking at errors to decide when to stop favours moments at which they look small. Half-widths
/// are longer by this share divided by the blocks at the first look, so that intervals cover as
/// often as they say (bench/coverage measures it).
constexpr double kStoppingShare = 0.5;
/// A play is out of contention when zero is this many half-widths below its cost.
constexpr double kContention = 2.0;

constexpr unsigned kSingleGames =
    1u << static_cast<int>(Outcome::kLoseSingle) | 1u << static_cast<int>(Outcome::kWinSingle);

/// What has been rolled out of one play.
struct PlayBlocks {
  PlayKey play;
  Position after;
  BlockSeries series;
};

std::vector<double> worths(std::span<const BlockMeans> blocks, const OutcomeWorth& worth) {
  std::vector<double> values;
  values.reserve(blocks.size());
  for (const BlockMeans& block : blocks) values.push_back(worth_of(block.outcomes, worth));
  return values;
}

double mean_of(std::span<const double> values) {
  return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

/// Blocks of best less blocks of other, over those that both have.
std::vector<double> paired_differences(std::span<const double> best,
                                       std::span<const double> other) {
  std::vector<double> differences(std::min(best.size(), other.size()));
  for (std::size_t i = 0; i < differences.size(); ++i) differences[i] = best[i] - other[i];
  return differences;
}

/// Takes what is below zero from the next smaller win or loss; where that is not enough, from the
/// likeliest outcome. An interval whose middle is moved gets longer by as much, so that it still
/// holds what it held before.
void settle(std::array<Estimate, kOutcomeCount>& outcomes) {
  const auto take = [&](std::size_t from, std::size_t to) {
    if (outcomes[from].mean >= 0.0) return;
    outcomes[to].mean += outcomes[from].mean;
    outcomes[to].half_width -= outcomes[from].mean;
    outcomes[from].mean = 0.0;
  };
  for (std::size_t i = 0; i + 1 < kOutcomeCount / 2; ++i) {
    take(i, i + 1);
    take(kOutcomeCount - 1 - i, kOutcomeCount - 2 - i);
  }
  const auto likeliest =
      std::max_element(outcomes.begin(), outcomes.end(),
                       [](const Estimate& a, const Estimate& b) { return a.mean < b.mean; });
  for (std::size_t i = 0; i < kOutcomeCount; ++i) {
    take(i, static_cast<std::size_t>(likeliest - outcomes.begin()));
  }
}

class Rollout {
 public:
  Rollout(const Evaluator& evaluator, const Position& position, std::span<const PlayKey> plays,
          const Score& score, const RolloutSettings& settings)
      : settings_(settings),
        own_player_(evaluator, settings.lookahead),
        own_control_(evaluator),
        workers_(settings.threads) {
    rules_.player = settings.player != nullptr ? settings.player : &own_player_;
    if (settings.luck_control) {
      rules_.luck = settings.luck != nullptr ? settings.luck : &own_control_;
      rules_.luck_chooses =
          settings.player == nullptr && settings.luck == nullptr && settings.lookahead == 0;
    }
    rules_.evaluator = &evaluator;
    rules_.worth = score.worth;
    rules_.seed = settings.seed;
    rules_.stratified = settings.stratified;
    rules_.known_ends = settings.known_ends;
    rules_.truncate = settings.truncate;
    for (const PlayKey play : plays) {
      plays_.push_back({play, position_after(position, play), {}});
      all_known_ = all_known_ && is_known(plays_.back().after);
    }
  }

  RolloutResult run() {
    std::vector<std::size_t> everyone(plays_.size());
    std::iota(everyone.begin(), everyone.end(), std::size_t{0});
    const std::uint64_t blocks = whole_blocks(settings_.trials) / kBlockTrials;
    extend(everyone, BlockSeries::whole_groups(blocks));
    if (settings_.half_width > 0.0) {
      widening_ = 1.0 + kStoppingShare / static_cast<double>(blocks);
      narrow();
    }
    RolloutResult result;
    result.interrupted = stopped();
    const bool enough = std::all_of(plays_.begin(), plays_.end(), [](const PlayBlocks& play) {
      return play.series.groups().size() >= kFewestBlocks;
    });
    if (enough) result.plays = summary();
    return result;
  }

 private:
  [[nodiscard]] bool stopped() const { return settings_.stop != nullptr && *settings_.stop; }

  /// Adds `count` blocks to each of some plays, which all have the same number already.
  void extend(const std::vector<std::size_t>& which, std::uint64_t count) {
    planned_ += which.size() * count;
    const std::uint64_t most = std::max<std::uint64_t>(1, kBlocksAtATime / which.size());
    for (std::uint64_t done = 0; done < count && !stopped(); done += most) {
      add_blocks(which, std::min(most, count - done));
    }
  }

  /// The same for no more than fit into memory. Each trial is a task of its own, so that the last
  /// ones to finish keep others waiting as little as may be. When stopped, keeps the blocks up to
  /// the first that is not complete for all of the plays.
  void add_blocks(const std::vector<std::size_t>& which, std::uint64_t count) {
    const std::uint64_t first = plays_[which.front()].series.blocks();
    // By block, then play, then trial.
    std::vector<BlockMeans> trials(count * which.size() * kBlockTrials);
    std::vector<std::atomic<bool>> finished(trials.size());
    workers_.for_each(trials.size(), [&](std::size_t task) {
      if (stopped()) return;
      ChoiceScratch scratch;
      const std::size_t unit = task / kBlockTrials;
      const std::uint64_t block = first + unit / which.size();
      const Position& after = plays_[which[unit % which.size()]].after;
      trials[task] = play_trial(rules_, after, block * kBlockTrials + task % kBlockTrials, scratch);
      finished[task] = true;
      const std::uint64_t done = ++done_;
      if (settings_.progress) settings_.progress({done, planned_ * kBlockTrials});
    });
    const auto missing = std::find(finished.begin(), finished.end(), false);
    const auto complete = static_cast<std::size_t>(missing - finished.begin()) / kBlockTrials;
    const std::size_t whole = complete / which.size() * which.size();
    for (std::size_t unit = 0; unit < whole; ++unit) {
      const std::span own = std::span(trials).subspan(unit * kBlockTrials, kBlockTrials);
      plays_[which[unit % which.size()]].series.add(block_mean(own));
    }
  }

  /// Goes on with the plays that may still be best until their costs are known well enough. Looks
  /// at whole rounds only, so that the result does not depend on threads.
  void narrow() {
    std::vector<std::size_t> contenders(plays_.size());
    std::iota(contenders.begin(), contenders.end(), std::size_t{0});
    while (!stopped()) {
      std::vector<std::vector<double>> values;
      for (const std::size_t i : contenders)
        values.push_back(worths(plays_[i].series.groups(), rules_.worth));
      std::size_t best = 0;
      for (std::size_t c = 1; c < values.size(); ++c) {
        if (mean_of(values[c]) > mean_of(values[best])) best = c;
      }
      std::vector<std::size_t> still{contenders[best]};
      double widest = 0.0;
      for (std::size_t c = 0; c < values.size(); ++c) {
        if (c == best) continue;
        const Estimate cost = cost_of(plays_[contenders[c]], plays_[contenders[best]]);
        if (cost.mean > kContention * cost.half_width) continue;
        still.push_back(contenders[c]);
        widest = std::max(widest, cost.half_width);
      }
      const std::uint64_t have = plays_[contenders.front()].series.blocks();
      const std::uint64_t most = whole_blocks(settings_.most_trials) / kBlockTrials;
      if (widest <= settings_.half_width || have >= most) return;
      contenders = still;
      const double excess = widest / settings_.half_width;
      const double share = std::clamp(kForesight * excess * excess - 1.0, kLeastGrowth, kGrowth);
      const auto more = static_cast<std::uint64_t>(std::ceil(share * static_cast<double>(have)));
      extend(contenders, BlockSeries::whole_groups(std::min(have + more, most)) - have);
    }
  }

  [[nodiscard]] bool is_known(const Position& after) const {
    return game_over(after) || (rules_.known_ends && rules_.player->known(after));
  }

  /// What winning a single game instead of losing one is worth.
  [[nodiscard]] double win_against_loss() const {
    constexpr auto kWin = static_cast<std::size_t>(Outcome::kWinSingle);
    return rules_.worth[kWin] - rules_.worth[kWin - 1];
  }

  /// What `other` costs against `best`, over the blocks that both have.
  [[nodiscard]] Estimate cost_of(const PlayBlocks& other, const PlayBlocks& best) const {
    return difference_of(other, best, rules_.worth, win_against_loss());
  }

  /// The same for any worth of outcomes; `jump` is what a trial that ends differently is worth.
  [[nodiscard]] Estimate difference_of(const PlayBlocks& other, const PlayBlocks& best,
                                       const OutcomeWorth& worth, double jump) const {
    const std::uint64_t width = std::max(best.series.width(), other.series.width());
    const std::vector<BlockMeans> bests = best.series.groups_of(width);
    const std::vector<BlockMeans> others = other.series.groups_of(width);
    if (std::min(bests.size(), others.size()) < kFewestBlocks) {
      return unpaired_difference(other, best, worth);
    }
    std::vector<double> differences;
    std::vector<double> luck;
    for (std::size_t i = 0; i < std::min(bests.size(), others.size()); ++i) {
      OutcomeDistribution outcomes = bests[i].outcomes;
      OutcomeDistribution taken_out = bests[i].luck;
      outcomes -= others[i].outcomes;
      taken_out -= others[i].luck;
      differences.push_back(worth_of(outcomes, worth));
      luck.push_back(worth_of(taken_out, worth));
    }
    Estimate difference = all_known_
                              ? estimate_from_blocks(differences, settings_.confidence)
                              : difference_from_blocks(differences, luck, jump,
                                                       width * kBlockTrials, settings_.confidence);
    difference.half_width *= widening_;
    return difference;
  }

  /// The same without regard to common dice, for a play with too few blocks to be paired in groups.
  [[nodiscard]] Estimate unpaired_difference(const PlayBlocks& other, const PlayBlocks& best,
                                             const OutcomeWorth& worth) const {
    const auto mean = [&](const PlayBlocks& play) {
      return estimate_from_blocks(worths(play.series.groups(), worth), settings_.confidence);
    };
    const Estimate own = mean(best);
    const Estimate others = mean(other);
    return {own.mean - others.mean, std::hypot(own.standard_error, others.standard_error),
            widening_ * std::hypot(own.half_width, others.half_width),
            std::min(own.blocks, others.blocks)};
  }

  /// Whether trials after a play end in outcome `o` or not, neither being certain.
  [[nodiscard]] bool is_open(const Position& after, std::size_t o) const {
    const unsigned theirs = 1u << (kOutcomeCount - 1 - o);
    return rules_.truncate == 0 && !is_known(after) && (possible_outcomes(after) & theirs) != 0;
  }

  [[nodiscard]] RolledPlay estimates_of(const PlayBlocks& play) const {
    RolledPlay rolled;
    rolled.play = play.play;
    const std::span<const BlockMeans> groups = play.series.groups();
    const std::uint64_t group_trials = play.series.width() * kBlockTrials;
    rolled.trials = groups.size() * group_trials;
    OutcomeDistribution means;
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      std::vector<double> values;
      std::vector<double> luck;
      for (const BlockMeans& group : groups) {
        values.push_back(group.outcomes[o]);
        luck.push_back(group.luck[o]);
      }
      rolled.outcomes[o] =
          is_open(play.after, o)
              ? probability_from_blocks(values, luck, group_trials, settings_.confidence)
              : estimate_from_blocks(values, settings_.confidence);
      rolled.outcomes[o].half_width *= widening_;
    }
    if (settings_.keep_groups) {
      for (const BlockMeans& group : groups) rolled.groups.push_back(group.outcomes);
    }
    settle(rolled.outcomes);
    for (std::size_t o = 0; o < kOutcomeCount; ++o) means[o] = rolled.outcomes[o].mean;
    rolled.equity = estimate_from_blocks(worths(groups, rules_.worth), settings_.confidence);
    const double settled = worth_of(means, rules_.worth);
    rolled.equity.half_width =
        rolled.equity.half_width * widening_ + std::abs(settled - rolled.equity.mean);
    rolled.equity.mean = settled;
    constexpr auto kWin = static_cast<std::size_t>(Outcome::kWinSingle);
    if (possible_outcomes(play.after) == kSingleGames) {
      // Equity says the same as the chance to win, and is no better known.
      rolled.equity.half_width =
          std::max(rolled.equity.half_width, win_against_loss() * rolled.outcomes[kWin].half_width);
    }
    return rolled;
  }

  [[nodiscard]] std::vector<RolledPlay> summary() const {
    std::uint64_t width = 1;
    for (const PlayBlocks& play : plays_) width = std::max(width, play.series.width());
    std::vector<std::vector<double>> values;
    std::vector<double> means;  // Over all trials, where `values` may lack a few.
    std::vector<RolledPlay> rolled;
    for (const PlayBlocks& play : plays_) {
      values.push_back(worths(play.series.groups_of(width), rules_.worth));
      means.push_back(mean_of(worths(play.series.groups(), rules_.worth)));
      rolled.push_back(estimates_of(play));
    }
    // The best is looked for among the plays with the most trials: the others are out of
    // contention.
    const std::size_t best =
        static_cast<std::size_t>(std::max_element(rolled.begin(), rolled.end(),
                                                  [](const RolledPlay& a, const RolledPlay& b) {
                                                    return std::pair(a.trials, a.equity.mean) <
                                                           std::pair(b.trials, b.equity.mean);
                                                  }) -
                                 rolled.begin());
    std::vector<std::vector<double>> costs;
    for (std::size_t i = 0; i < values.size(); ++i) {
      costs.push_back(paired_differences(values[best], values[i]));
      if (costs[i].size() < kFewestBlocks) costs[i].assign(1, means[best] - means[i]);
    }
    const std::vector<double> chances = best_probabilities(costs, settings_.seed);
    const double best_shift = rolled[best].equity.mean - means[best];
    for (std::size_t i = 0; i < rolled.size(); ++i) {
      rolled[i].best_probability = chances[i];
      if (i == best) continue;
      rolled[i].cost = cost_of(plays_[i], plays_[best]);
      // Settling rare outcomes has moved equities a little; costs move with them.
      move(rolled[i].cost, best_shift - (rolled[i].equity.mean - means[i]));
      add_shares(rolled[i], plays_[i], rolled[best], plays_[best]);
    }
    std::swap(rolled.front(), rolled[best]);
    std::stable_sort(
        rolled.begin() + 1, rolled.end(),
        [](const RolledPlay& a, const RolledPlay& b) { return a.cost.mean < b.cost.mean; });
    return rolled;
  }

  static void move(Estimate& estimate, double shift) {
    estimate.mean += shift;
    estimate.half_width += std::abs(shift);
  }

  void add_shares(RolledPlay& rolled, const PlayBlocks& play, const RolledPlay& best,
                  const PlayBlocks& best_play) const {
    const auto settled_by = [](const RolledPlay& of, const PlayBlocks& blocks,
                               const OutcomeWorth& share) {
      double settled = 0.0;
      for (std::size_t o = 0; o < kOutcomeCount; ++o) settled += share[o] * of.outcomes[o].mean;
      return settled - mean_of(worths(blocks.series.groups(), share));
    };
    for (std::size_t i = 0; i < kShareCount; ++i) {
      const OutcomeWorth share = outcomes_in(static_cast<ShareOf>(i));
      rolled.shares[i] = difference_of(play, best_play, share, 1.0);
      move(rolled.shares[i], settled_by(best, best_play, share) - settled_by(rolled, play, share));
    }
  }

  const RolloutSettings& settings_;
  EvaluatorPlayer own_player_;
  FullControl own_control_;
  TrialRules rules_;
  Workers workers_;
  std::vector<PlayBlocks> plays_;
  bool all_known_ = true;  ///< Nothing is left to chance after any play.
  double widening_ = 1.0;  ///< Of all half-widths, for having looked at them.
  std::atomic<std::uint64_t> done_{0};
  std::uint64_t planned_ = 0;
};

}  // namespace

std::uint64_t whole_blocks(std::uint64_t trials) noexcept {
  return std::max(kFewestBlocks, (trials + kBlockTrials - 1) / kBlockTrials) * kBlockTrials;
}

RolloutResult roll_out(const Evaluator& evaluator, const Position& position,
                       std::span<const PlayKey> plays, const Score& score,
                       const RolloutSettings& settings) {
  return Rollout(evaluator, position, plays, score, settings).run();
}

}  // namespace sixfold
