#include "rollout/runner.h"

#include <algorithm>
#include <cassert>
#include <utility>
#include <vector>

namespace sixfold {
namespace {

/// A block that is to be played.
struct Unit {
  std::uint64_t block;
  std::size_t start;
};

std::vector<Unit> units_of(std::span<const BlockRange> ranges) {
  std::vector<Unit> units;
  for (const BlockRange& range : ranges) {
    for (std::uint64_t i = 0; i < range.count; ++i) units.push_back({range.first + i, range.start});
  }
  std::stable_sort(units.begin(), units.end(),
                   [](const Unit& a, const Unit& b) { return a.block < b.block; });
  return units;
}

}  // namespace

PlannedTrials::PlannedTrials(const RolloutPlan& plan, const TrialPlayers& players)
    : plan_(plan),
      own_player_(players.evaluator, plan.settings.lookahead),
      own_control_(players.evaluator) {
  const RolloutSettings& settings = plan.settings;
  assert(settings.luck != LuckControl::kEstimated || players.luck != nullptr);
  rules_.player = players.player != nullptr ? players.player : &own_player_;
  if (settings.luck == LuckControl::kEstimated) rules_.luck = players.luck;
  if (settings.luck == LuckControl::kFull) {
    rules_.luck = &own_control_;
    rules_.luck_chooses = players.player == nullptr && settings.lookahead == 0;
  }
  rules_.evaluator = &players.evaluator;
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

void ThreadRunner::play(const PlannedTrials& trials, std::span<const BlockRange> ranges,
                        RolloutState& state) {
  const std::vector<Unit> units = units_of(ranges);
  // Each trial is a task of its own, so that the last ones to finish keep others waiting as little
  // as may be.
  std::vector<BlockMeans> means(units.size() * kBlockTrials);
  std::vector<CubeMeans> with_cube(trials.has_cube() ? means.size() : 0);
  std::vector<std::atomic<bool>> finished(means.size());
  std::atomic<std::uint64_t> done{state.trials_done()};
  const RolloutProgress before{state.trials_done(), state.trials_planned(), state.trials_expected(),
                               state.widest(), begun() - 1};
  workers_.for_each(means.size(), [&](std::size_t task) {
    if (stopped()) return;
    ChoiceScratch scratch;
    const Unit& unit = units[task / kBlockTrials];
    means[task] = trials.play(unit.start, unit.block * kBlockTrials + task % kBlockTrials, scratch,
                              with_cube.empty() ? nullptr : &with_cube[task]);
    finished[task] = true;
    const std::uint64_t so_far = ++done;
    if (!control_.progress) return;
    RolloutProgress now = before;
    now.trials_done = so_far;
    control_.progress(now);
  });
  for (std::size_t u = 0; u < units.size(); ++u) {
    const auto of_unit = [&](const auto& all) {
      return std::span(std::as_const(all)).subspan(u * kBlockTrials, kBlockTrials);
    };
    const auto its = of_unit(finished);
    if (std::find(its.begin(), its.end(), false) != its.end()) continue;
    state.absorb(
        trials.block_of(units[u].start, units[u].block, of_unit(means),
                        trials.has_cube() ? of_unit(with_cube) : std::span<const CubeMeans>()));
  }
}

}  // namespace sixfold
