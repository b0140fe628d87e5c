#include "rollout/state.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numeric>

#include "rollout/dice_plan.h"
#include "rollout/roll_split.h"
#include "rollout/set_aside.h"
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

PlayBlocks blocks_of(const RolloutPlan::Start& start, bool is_cut) {
  PlayBlocks blocks;
  blocks.play = start.play;
  blocks.start = start.trials;
  blocks.first_rolls = start.first_rolls;
  blocks.is_known = start.is_known;
  blocks.is_named = start.is_named;
  const unsigned possible = possible_outcomes(start.trials.position);
  blocks.single_games = possible == kSingleGames;
  for (std::size_t o = 0; o < kOutcomeCount; ++o) {
    const std::size_t of_roller = start.trials.player_rolls ? o : kOutcomeCount - 1 - o;
    if ((possible >> of_roller & 1u) == 0) continue;
    blocks.possible |= 1u << o;
    if (!is_cut && !start.is_known) blocks.open |= 1u << o;
  }
  return blocks;
}

RollMeans by_first_roll(const PlayedBlock& played, const FirstRolls& first,
                        const RolloutSettings& settings) {
  const auto rolls = first_rolls(settings.seed, played.block, settings.stratified);
  RollMeans means;
  for (std::size_t i = 0; i < kBlockTrials; ++i) {
    means.worth[static_cast<std::size_t>(rolls[i].index())] += played.worths[i] - first.before;
  }
  means *= 1.0 / static_cast<double>(kBlockTrials);
  return means;
}

}  // namespace

RolloutState::RolloutState(RolloutPlan plan) : plan_(std::move(plan)) {
  assert(!plan_.starts.empty());
  for (const RolloutPlan::Start& start : plan_.starts) {
    starts_.push_back(blocks_of(start, plan_.settings.truncate > 0));
  }
  going_on_.resize(starts_.size());
  std::iota(going_on_.begin(), going_on_.end(), std::size_t{0});
  extend_to(whole_groups(whole_blocks(plan_.settings.trials) / kBlockTrials));
}

void RolloutState::extend_to(std::uint64_t target) {
  blocks_planned_ += (target - blocks()) * going_on_.size();
  target_ = target;
}

std::uint64_t RolloutState::most_blocks() const noexcept {
  return (whole_blocks(plan_.settings.most_trials) << 2 * beyond_) / kBlockTrials;
}

double RolloutState::wanted() const noexcept {
  return std::ldexp(plan_.settings.half_width, -static_cast<int>(beyond_));
}

EstimateRules RolloutState::rules() const noexcept {
  const RolloutSettings& settings = plan_.settings;
  EstimateRules rules;
  rules.worth = plan_.worth;
  rules.cube = plan_.cube ? &*plan_.cube : nullptr;
  rules.confidence = settings.confidence;
  if (settings.half_width > 0.0) {
    rules.widening =
        1.0 + kStoppingShare / static_cast<double>(whole_blocks(settings.trials) / kBlockTrials);
  }
  rules.keep_groups = settings.keep_groups;
  rules.keep_all = plan_.all_go_on;
  rules.seed = settings.seed;
  return rules;
}

std::vector<BlockRange> RolloutState::next() const {
  std::vector<BlockRange> ranges;
  if (finished_) return ranges;
  const std::uint64_t most = std::max<std::uint64_t>(1, kBlocksAtATime / going_on_.size());
  const std::uint64_t end = std::min(target_, blocks() + most);
  for (const std::size_t start : going_on_) {
    bool is_open = false;  // Whether the last range may go on.
    for (std::uint64_t block = blocks(); block < end; ++block) {
      const bool is_missing = !waiting_.contains({block, start});
      if (is_missing && !is_open) ranges.push_back({start, block, 0});
      if (is_missing) ++ranges.back().count;
      is_open = is_missing;
    }
  }
  return ranges;
}

bool RolloutState::is_wanted(const PlayedBlock& played) const noexcept {
  return !finished_ && played.block >= blocks() && played.block < target_ &&
         std::find(going_on_.begin(), going_on_.end(), played.start) != going_on_.end();
}

void RolloutState::absorb(const PlayedBlock& played) {
  assert(played.with_cube.has_value() == plan_.cube.has_value());
  if (!is_wanted(played)) return;
  if (waiting_.emplace(Place{played.block, played.start}, played).second) ++blocks_done_;
  const auto is_whole = [&] {
    return waiting_.size() >= going_on_.size() &&
           std::next(waiting_.begin(), static_cast<std::ptrdiff_t>(going_on_.size()) - 1)
                   ->first.first == blocks();
  };
  while (!finished_ && is_whole()) {
    // All of them are of the first block that is missing in the series, since none comes twice.
    for (std::size_t i = 0; i < going_on_.size(); ++i) {
      const PlayedBlock& first = waiting_.begin()->second;
      PlayBlocks& start = starts_[first.start];
      start.series.add(first.means);
      if (first.with_cube) start.with_cube.add(*first.with_cube);
      start.by_roll.add(by_first_roll(first, start.first_rolls, plan_.settings));
      waiting_.erase(waiting_.begin());
    }
    if (blocks() == target_) end_round();
  }
}

std::uint64_t RolloutState::trials_expected() const noexcept {
  if (finished_ || !widest_) return trials_planned();
  const double excess = *widest_ / wanted();
  const double needed = std::min(static_cast<double>(blocks_at_look_) * excess * excess,
                                 static_cast<double>(most_blocks()));
  const auto beyond =
      static_cast<std::uint64_t>(std::max(0.0, std::ceil(needed) - static_cast<double>(target_)));
  return trials_planned() + beyond * going_on_.size() * kBlockTrials;
}

void RolloutState::end_round() {
  ++rounds_;
  blocks_at_look_ = blocks();
  const auto is_enough = [&] {
    if (plan_.settings.half_width <= 0.0) return true;
    widest_ = widest_cost(starts_, going_on_, rules());
    return *widest_ <= wanted() || blocks() >= most_blocks();
  };
  // Where nobody has to go on nobody is set aside: all trials tell of every play.
  finished_ = is_enough();
  if (finished_) return;
  going_on_ = set_aside(starts_, going_on_, rules());
  finished_ = is_enough();
  if (!finished_) extend();
}

void RolloutState::extend() {
  const std::uint64_t have = blocks();
  const double excess = *widest_ / wanted();
  const double share = std::clamp(kForesight * excess * excess - 1.0, kLeastGrowth, kGrowth);
  const auto more = static_cast<std::uint64_t>(std::ceil(share * static_cast<double>(have)));
  extend_to(whole_groups(std::min(have + more, most_blocks())));
}

void RolloutState::go_beyond() {
  assert(finished_ && plan_.settings.half_width > 0.0 && beyond_ < kMostBeyond);
  ++beyond_;
  finished_ = *widest_ <= wanted();
  if (!finished_) extend();
}

bool RolloutState::has_result() const noexcept {
  return std::all_of(starts_.begin(), starts_.end(), [](const PlayBlocks& start) {
    // What is told of a play that is set aside has as many as what it was judged by.
    return start.series.groups().size() >= kFewestBlocks;
  });
}

RolloutResult RolloutState::result() const {
  RolloutResult result;
  result.interrupted = !finished_ && beyond_ == 0;
  if (has_result()) result.plays = estimates_of(starts_, rules());
  return result;
}

RolledPlay RolloutState::rolled_position() const {
  assert(has_result());
  return estimate_of(starts_[0], rules());
}

RolledDouble RolloutState::rolled_double() const {
  assert(has_result());
  const EstimateRules rules = this->rules();
  RolledDouble rolled;
  rolled.no_double = estimate_of(starts_[0], rules);
  rolled.interrupted = !finished_ && beyond_ == 0;
  for (std::size_t i = 1; i < starts_.size(); ++i) {
    const Estimate difference = cost_of(starts_[i], starts_[0], rules);
    // The opponent beavers where that leaves the roller less.
    if (rolled.double_take && difference.mean <= rolled.difference.mean) continue;
    rolled.is_beavered = i > 1;
    rolled.double_take = estimate_of(starts_[i], rules);
    rolled.difference = difference;
    rolled.by_roll = split_by_roll(starts_[i], starts_[0], difference, rules);
  }
  return rolled;
}

}  // namespace sixfold
