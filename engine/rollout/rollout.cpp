#include "rollout/rollout.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>

#include "base/workers.h"
#include "rollout/estimates.h"
#include "rules/game_result.h"

namespace sixfold {
namespace {

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
constexpr unsigned kSingleGames =
    1u << static_cast<int>(Outcome::kLoseSingle) | 1u << static_cast<int>(Outcome::kWinSingle);

class Rollout {
 public:
  Rollout(const Evaluator& evaluator, const OutcomeWorth& worth, const RolloutSettings& settings)
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
    rules_.worth = choosing_worth(worth);
    rules_.cube = settings.cube;
    rules_.seed = settings.seed;
    rules_.stratified = settings.stratified;
    rules_.known_ends = settings.known_ends;
    rules_.truncate = settings.truncate;
    estimates_.worth = worth;
    estimates_.cube = settings.cube;
    estimates_.confidence = settings.confidence;
    estimates_.keep_groups = settings.keep_groups;
    estimates_.seed = settings.seed;
  }

  /// Nothing drops out of contention.
  void keep_all() noexcept { estimates_.keep_all = true; }

  void add(PlayKey play, const TrialStart& start) {
    PlayBlocks blocks;
    blocks.play = play;
    blocks.start = start;
    blocks.is_known = is_known(start.position);
    const unsigned possible = possible_outcomes(start.position);
    blocks.single_games = possible == kSingleGames;
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      const std::size_t theirs = start.mine ? o : kOutcomeCount - 1 - o;
      if ((possible >> theirs & 1u) == 0) continue;
      blocks.possible |= 1u << o;
      if (rules_.truncate == 0 && !blocks.is_known) blocks.open |= 1u << o;
    }
    plays_.push_back(std::move(blocks));
  }

  /// Whether every play has its fewest trials.
  [[nodiscard]] bool run() {
    std::vector<std::size_t> everyone(plays_.size());
    std::iota(everyone.begin(), everyone.end(), std::size_t{0});
    const std::uint64_t blocks = whole_blocks(settings_.trials) / kBlockTrials;
    extend(everyone, whole_groups(blocks));
    if (settings_.half_width > 0.0) {
      estimates_.widening = 1.0 + kStoppingShare / static_cast<double>(blocks);
      narrow(std::move(everyone));
    }
    return std::all_of(plays_.begin(), plays_.end(), [](const PlayBlocks& play) {
      return play.series.groups().size() >= kFewestBlocks;
    });
  }

  [[nodiscard]] bool stopped() const { return settings_.stop != nullptr && *settings_.stop; }
  [[nodiscard]] const std::vector<PlayBlocks>& plays() const noexcept { return plays_; }
  [[nodiscard]] const EstimateRules& estimates() const noexcept { return estimates_; }

 private:
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
    std::vector<CubeMeans> with_cube(rules_.cube != nullptr ? trials.size() : 0);
    std::vector<std::atomic<bool>> finished(trials.size());
    workers_.for_each(trials.size(), [&](std::size_t task) {
      if (stopped()) return;
      ChoiceScratch scratch;
      const std::size_t unit = task / kBlockTrials;
      const std::uint64_t block = first + unit / which.size();
      trials[task] = play_trial(rules_, plays_[which[unit % which.size()]].start,
                                block * kBlockTrials + task % kBlockTrials, scratch,
                                with_cube.empty() ? nullptr : &with_cube[task]);
      finished[task] = true;
      const std::uint64_t done = ++done_;
      if (settings_.progress) settings_.progress({done, planned_ * kBlockTrials});
    });
    const auto missing = std::find(finished.begin(), finished.end(), false);
    const auto complete = static_cast<std::size_t>(missing - finished.begin()) / kBlockTrials;
    const std::size_t whole = complete / which.size() * which.size();
    for (std::size_t unit = 0; unit < whole; ++unit) {
      PlayBlocks& play = plays_[which[unit % which.size()]];
      const auto own = [&](const auto& all) {
        return std::span(all).subspan(unit * kBlockTrials, kBlockTrials);
      };
      play.series.add(block_mean<OutcomeDistribution>(own(trials)));
      if (!with_cube.empty()) play.with_cube.add(block_mean<CubeResults>(own(with_cube)));
    }
  }

  /// Goes on with the plays that may still be best until their costs are known well enough. Looks
  /// at whole rounds only, so that the result does not depend on threads.
  void narrow(std::vector<std::size_t> still) {
    while (!stopped()) {
      double widest = 0.0;
      still = contenders(plays_, still, estimates_, widest);
      const std::uint64_t have = plays_[still.front()].series.blocks();
      const std::uint64_t most = whole_blocks(settings_.most_trials) / kBlockTrials;
      if (widest <= settings_.half_width || have >= most) return;
      const double excess = widest / settings_.half_width;
      const double share = std::clamp(kForesight * excess * excess - 1.0, kLeastGrowth, kGrowth);
      const auto more = static_cast<std::uint64_t>(std::ceil(share * static_cast<double>(have)));
      extend(still, whole_groups(std::min(have + more, most)) - have);
    }
  }

  [[nodiscard]] bool is_known(const Position& position) const {
    return game_over(position) || (rules_.known_ends && rules_.player->known(position));
  }

  const RolloutSettings& settings_;
  EvaluatorPlayer own_player_;
  FullControl own_control_;
  TrialRules rules_;
  EstimateRules estimates_;
  Workers workers_;
  std::vector<PlayBlocks> plays_;
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
  const CubeRules* const cube = settings.cube;
  Rollout rollout(evaluator, cube != nullptr ? cube->outcome_worth() : score.worth, settings);
  for (const PlayKey play : plays) {
    TrialStart start{position_after(position, play)};
    if (cube != nullptr) start.cube = cube->start();
    rollout.add(play, start);
  }
  RolloutResult result;
  const bool enough = rollout.run();
  result.interrupted = rollout.stopped();
  if (enough) result.plays = estimates_of(rollout.plays(), rollout.estimates());
  return result;
}

std::optional<RolledDouble> roll_out_double(const Evaluator& evaluator, const Position& position,
                                            const RolloutSettings& settings) {
  const CubeRules& cube = *settings.cube;
  Rollout rollout(evaluator, cube.outcome_worth(), settings);
  rollout.keep_all();
  rollout.add({}, {position, true, cube.start(), false});
  const std::vector<CubeState> doubled = cube.after_double();
  for (const CubeState& taken : doubled) rollout.add({}, {position, true, taken, false});
  if (!rollout.run()) return std::nullopt;
  const std::vector<PlayBlocks>& blocks = rollout.plays();
  const EstimateRules& rules = rollout.estimates();
  RolledDouble rolled{estimate_of(blocks[0], rules), {}, {}, false, rollout.stopped()};
  for (std::size_t i = 1; i < blocks.size(); ++i) {
    const Estimate difference = cost_of(blocks[i], blocks[0], rules);
    // The opponent beavers where that leaves the roller less.
    if (rolled.double_take && difference.mean <= rolled.difference.mean) continue;
    rolled.is_beavered = i > 1;
    rolled.double_take = estimate_of(blocks[i], rules);
    rolled.difference = difference;
  }
  return rolled;
}

}  // namespace sixfold
