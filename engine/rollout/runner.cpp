#include "rollout/runner.h"

#include <algorithm>
#include <cassert>
#include <utility>
#include <vector>

namespace sixfold {
PlannedTrials::PlannedTrials(const RolloutPlan& plan, const TrialPlayers& players)
    : plan_(plan),
      own_player_(players.evaluator, plan.settings.lookahead),
      own_control_(players.evaluator) {
  const RolloutSettings& settings = plan.settings;
  assert(settings.luck != LuckControl::kEstimated || players.luck != nullptr);
  rules_.player = players.player != nullptr ? players.player : &own_player_;
  if (players.opponent != nullptr) {
    rules_.opponent = &opponent_.emplace(*players.opponent, settings.lookahead);
    rules_.opponents_evaluator = players.opponent;
  }
  if (settings.luck == LuckControl::kEstimated) rules_.luck = players.luck;
  if (settings.luck == LuckControl::kFull) {
    rules_.luck = &own_control_;
    rules_.luck_chooses = players.player == nullptr && settings.lookahead == 0;
  }
  rules_.evaluator = &players.evaluator;
  rules_.plays_by_evaluator = players.player == nullptr;
  rules_.worth = choosing_worth(plan.worth);
  rules_.cube = plan.cube ? &*plan.cube : nullptr;
  rules_.seed = settings.seed;
  rules_.stratified = settings.stratified;
  rules_.known_ends = settings.known_ends;
  rules_.truncate = settings.truncate;
}

BlockMeans PlannedTrials::play(std::size_t start, std::uint64_t trial, ChoiceScratch& scratch,
                               CubeMeans* cube) const noexcept {
  assert(cube != nullptr || !has_cube());
  return play_trial(rules_, plan_.starts[start].trials, trial, scratch, cube);
}

PlayedBlock PlannedTrials::block_of(std::size_t start, std::uint64_t block,
                                    std::span<const BlockMeans> trials,
                                    std::span<const CubeMeans> with_cube) const noexcept {
  PlayedBlock played{start, block, block_mean<OutcomeDistribution>(trials)};
  if (has_cube()) played.with_cube = block_mean<CubeResults>(with_cube);
  for (std::size_t i = 0; i < kBlockTrials; ++i) {
    played.worths[i] = has_cube() ? worth_of(with_cube[i].outcomes, plan_.cube->worth())
                                  : worth_of(trials[i].outcomes, plan_.worth);
  }
  return played;
}

void TrialRunner::run(const PlannedTrials& trials, RolloutState& state) {
  assert(trials.has_cube() == state.plan().cube.has_value());
  ++begun_;
  if (keeper_ != nullptr) keeper_->take_up(state);
  while (!stopped() && !state.is_finished()) {
    play(trials, state.next(), state);
    if (keeper_ != nullptr && !keeper_->keep(state)) return;
  }
}

RolloutProgress TrialRunner::progress_of(const RolloutState& state) const {
  return {state.trials_done(), state.trials_planned(), state.trials_expected(), state.widest(),
          begun_ - 1};
}

std::vector<BlockPlace> in_block_order(std::span<const BlockRange> ranges) {
  std::vector<BlockPlace> places;
  for (const BlockRange& range : ranges) {
    for (std::uint64_t i = 0; i < range.count; ++i) {
      places.push_back({range.first + i, range.start});
    }
  }
  std::stable_sort(places.begin(), places.end(),
                   [](const BlockPlace& a, const BlockPlace& b) { return a.block < b.block; });
  return places;
}

std::vector<PlayedBlock> play_blocks(const PlannedTrials& trials,
                                     std::span<const BlockPlace> places, Workers& workers,
                                     const std::function<bool()>& is_to_stop,
                                     const std::function<void()>& trial_ended) {
  // Each trial is a task of its own, so that the last ones to finish keep others waiting as little
  // as may be.
  std::vector<BlockMeans> means(places.size() * kBlockTrials);
  std::vector<CubeMeans> with_cube(trials.has_cube() ? means.size() : 0);
  std::vector<std::atomic<bool>> finished(means.size());
  workers.for_each(means.size(), [&](std::size_t task) {
    if (is_to_stop()) return;
    ChoiceScratch scratch;
    const BlockPlace& place = places[task / kBlockTrials];
    means[task] = trials.play(place.start, place.block * kBlockTrials + task % kBlockTrials,
                              scratch, with_cube.empty() ? nullptr : &with_cube[task]);
    finished[task] = true;
    if (trial_ended) trial_ended();
  });
  std::vector<PlayedBlock> played;
  for (std::size_t p = 0; p < places.size(); ++p) {
    const auto of_place = [&](const auto& all) {
      return std::span(std::as_const(all)).subspan(p * kBlockTrials, kBlockTrials);
    };
    const auto its = of_place(finished);
    if (std::find(its.begin(), its.end(), false) != its.end()) continue;
    played.push_back(
        trials.block_of(places[p].start, places[p].block, of_place(means),
                        trials.has_cube() ? of_place(with_cube) : std::span<const CubeMeans>()));
  }
  return played;
}

void ThreadRunner::play(const PlannedTrials& trials, std::span<const BlockRange> ranges,
                        RolloutState& state) {
  std::atomic<std::uint64_t> done{state.trials_done()};
  const RolloutProgress before = progress_of(state);
  const auto trial_ended = [&] {
    const std::uint64_t so_far = ++done;
    if (!control_.progress) return;
    RolloutProgress now = before;
    now.trials_done = so_far;
    control_.progress(now);
  };
  const std::vector<PlayedBlock> played = play_blocks(
      trials, in_block_order(ranges), workers_, [&] { return stopped(); }, trial_ended);
  for (const PlayedBlock& block : played) state.absorb(block);
}

}  // namespace sixfold
