#include "rollout/rollout.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <utility>

#include "exact/workers.h"
#include "rollout/dice_plan.h"
#include "rollout/random_stream.h"
#include "rules/game_result.h"

namespace sixfold {
namespace {

constexpr std::uint64_t kFewestBlocks = 6;
/// With a wanted half-width, contenders go on by this share of the trials they have.
constexpr double kGrowth = 0.5;
/// Looking at errors to decide when to stop favours moments at which they look small. Half-widths
/// are longer by this share divided by the blocks at the first look, so that intervals cover as
/// often as they say (bench/coverage measures it).
constexpr double kStoppingShare = 0.5;
/// A play is out of contention when zero is this many half-widths below its cost.
constexpr double kContention = 2.0;

constexpr unsigned kSingleGames =
    1u << static_cast<int>(Outcome::kLoseSingle) | 1u << static_cast<int>(Outcome::kWinSingle);

constexpr std::uint64_t kBootstrapStream = std::uint64_t{1} << 63;
constexpr int kBootstrapDraws = 2000;

/// What has been rolled out of one play: the mean outcome of each block, in order.
struct PlayBlocks {
  PlayKey play;
  Position after;
  std::vector<BlockMeans> blocks;
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
    extend(everyone, blocks);
    if (settings_.half_width > 0.0) {
      widening_ = 1.0 + kStoppingShare / static_cast<double>(blocks);
      narrow();
    }
    RolloutResult result;
    result.interrupted = stopped();
    const bool enough = std::all_of(plays_.begin(), plays_.end(), [](const PlayBlocks& play) {
      return play.blocks.size() >= kFewestBlocks;
    });
    if (enough) result.plays = summary();
    return result;
  }

 private:
  [[nodiscard]] bool stopped() const { return settings_.stop != nullptr && *settings_.stop; }

  /// Adds `count` blocks to each of some plays, which all have the same number already. When
  /// stopped, keeps the blocks up to the first that is missing for any of them.
  void extend(const std::vector<std::size_t>& which, std::uint64_t count) {
    const std::size_t first = plays_[which.front()].blocks.size();
    for (const std::size_t i : which) plays_[i].blocks.resize(first + count);
    std::vector<std::atomic<bool>> finished(which.size() * count);
    planned_ += finished.size();
    workers_.for_each(finished.size(), [&](std::size_t task) {
      if (stopped()) return;
      ChoiceScratch scratch;
      PlayBlocks& play = plays_[which[task % which.size()]];
      const std::size_t block = first + task / which.size();
      play.blocks[block] = play_block(rules_, play.after, block, scratch);
      finished[task] = true;
      const std::uint64_t done = ++done_;
      if (settings_.progress) settings_.progress({done * kBlockTrials, planned_ * kBlockTrials});
    });
    const auto missing = std::find(finished.begin(), finished.end(), false);
    const auto complete = static_cast<std::size_t>(missing - finished.begin()) / which.size();
    for (const std::size_t i : which) plays_[i].blocks.resize(first + complete);
  }

  /// Goes on with the plays that may still be best until their costs are known well enough. Looks
  /// at whole rounds only, so that the result does not depend on threads.
  void narrow() {
    std::vector<std::size_t> contenders(plays_.size());
    std::iota(contenders.begin(), contenders.end(), std::size_t{0});
    while (!stopped()) {
      std::vector<std::vector<double>> values;
      for (const std::size_t i : contenders)
        values.push_back(worths(plays_[i].blocks, rules_.worth));
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
      const std::uint64_t have = plays_[contenders.front()].blocks.size();
      const std::uint64_t most = whole_blocks(settings_.most_trials) / kBlockTrials;
      if (widest <= settings_.half_width || have >= most) return;
      contenders = still;
      const auto more = static_cast<std::uint64_t>(std::ceil(kGrowth * static_cast<double>(have)));
      extend(contenders, std::min(more, most - have));
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
    std::vector<double> differences;
    std::vector<double> luck;
    for (std::size_t i = 0; i < std::min(best.blocks.size(), other.blocks.size()); ++i) {
      OutcomeDistribution outcomes = best.blocks[i].outcomes;
      OutcomeDistribution taken_out = best.blocks[i].luck;
      outcomes -= other.blocks[i].outcomes;
      taken_out -= other.blocks[i].luck;
      differences.push_back(worth_of(outcomes, rules_.worth));
      luck.push_back(worth_of(taken_out, rules_.worth));
    }
    Estimate cost = all_known_ ? estimate_from_blocks(differences, settings_.confidence)
                               : difference_from_blocks(differences, luck, win_against_loss(),
                                                        kBlockTrials, settings_.confidence);
    cost.half_width *= widening_;
    return cost;
  }

  /// Whether trials after a play end in outcome `o` or not, neither being certain.
  [[nodiscard]] bool is_open(const Position& after, std::size_t o) const {
    const unsigned theirs = 1u << (kOutcomeCount - 1 - o);
    return rules_.truncate == 0 && !is_known(after) && (possible_outcomes(after) & theirs) != 0;
  }

  [[nodiscard]] RolledPlay estimates_of(const PlayBlocks& play) const {
    RolledPlay rolled;
    rolled.play = play.play;
    rolled.trials = play.blocks.size() * kBlockTrials;
    OutcomeDistribution means;
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      std::vector<double> values;
      std::vector<double> luck;
      for (const BlockMeans& block : play.blocks) {
        values.push_back(block.outcomes[o]);
        luck.push_back(block.luck[o]);
      }
      rolled.outcomes[o] =
          is_open(play.after, o)
              ? probability_from_blocks(values, luck, kBlockTrials, settings_.confidence)
              : estimate_from_blocks(values, settings_.confidence);
      rolled.outcomes[o].half_width *= widening_;
    }
    settle(rolled.outcomes);
    for (std::size_t o = 0; o < kOutcomeCount; ++o) means[o] = rolled.outcomes[o].mean;
    rolled.equity = estimate_from_blocks(worths(play.blocks, rules_.worth), settings_.confidence);
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
    std::vector<std::vector<double>> values;
    std::vector<RolledPlay> rolled;
    for (const PlayBlocks& play : plays_) {
      values.push_back(worths(play.blocks, rules_.worth));
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
    for (const auto& own : values) costs.push_back(paired_differences(values[best], own));
    const std::vector<double> chances = best_probabilities(costs);
    const double best_shift = rolled[best].equity.mean - mean_of(values[best]);
    for (std::size_t i = 0; i < rolled.size(); ++i) {
      rolled[i].best_probability = chances[i];
      if (i == best) continue;
      rolled[i].cost = cost_of(plays_[i], plays_[best]);
      // Settling rare outcomes has moved equities a little; costs move with them.
      const double shift = best_shift - (rolled[i].equity.mean - mean_of(values[i]));
      rolled[i].cost.mean += shift;
      rolled[i].cost.half_width += std::abs(shift);
    }
    std::swap(rolled.front(), rolled[best]);
    std::stable_sort(
        rolled.begin() + 1, rolled.end(),
        [](const RolledPlay& a, const RolledPlay& b) { return a.cost.mean < b.cost.mean; });
    return rolled;
  }

  /// How often each play comes out best when the blocks are weighted anew at random.
  /// Source: Rubin D., The Bayesian bootstrap, Annals of Statistics 9(1), 1981.
  [[nodiscard]] std::vector<double> best_probabilities(
      const std::vector<std::vector<double>>& costs) const {
    std::size_t most_blocks = 0;
    for (const auto& own : costs) most_blocks = std::max(most_blocks, own.size());
    RandomStream random(settings_.seed, kBootstrapStream);
    std::vector<double> weights(most_blocks);
    std::vector<double> chances(costs.size(), 0.0);
    for (int draw = 0; draw < kBootstrapDraws; ++draw) {
      for (double& weight : weights) weight = -std::log1p(-random.uniform());
      std::size_t winner = 0;
      double least = std::numeric_limits<double>::infinity();
      for (std::size_t i = 0; i < costs.size(); ++i) {
        double sum = 0.0;
        double total = 0.0;
        for (std::size_t b = 0; b < costs[i].size(); ++b) {
          sum += weights[b] * costs[i][b];
          total += weights[b];
        }
        if (sum / total < least) {
          least = sum / total;
          winner = i;
        }
      }
      chances[winner] += 1.0 / kBootstrapDraws;
    }
    return chances;
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
