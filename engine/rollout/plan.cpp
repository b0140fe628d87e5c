#include "rollout/plan.h"

#include <algorithm>
#include <cassert>

#include "base/bytes.h"
#include "base/hash.h"
#include "rollout/estimates.h"
#include "rollout/runner.h"
#include "rules/game_result.h"

namespace sixfold {
namespace {

RolloutPlan::Start start_of(const TrialPlayers& players, const RolloutSettings& settings,
                            PlayKey play, const TrialStart& trials) {
  const bool is_known = game_over(trials.position) ||
                        (settings.known_ends && players.known(trials.position).has_value());
  return {play, trials, is_known};
}

void add(ByteWriter& bytes, const TrialStart& start) {
  bytes.add(start.position.roller.bits());
  bytes.add(start.position.opponent.bits());
  bytes.add(start.player_rolls);
  bytes.add(std::uint64_t{start.cube.turns});
  bytes.add(start.cube.owner);
  bytes.add(start.may_double);
}

void add(ByteWriter& bytes, const RolloutSettings& settings) {
  bytes.add(settings.trials);
  bytes.add(settings.half_width);
  bytes.add(settings.most_trials);
  bytes.add(settings.confidence);
  bytes.add(settings.seed);
  bytes.add(settings.lookahead);
  bytes.add(settings.truncate);
  bytes.add(settings.stratified);
  bytes.add(settings.luck);
  bytes.add(settings.keep_groups);
  bytes.add(settings.known_ends);
}

/// What the players take the first rolls to be worth.
void look_at_first_rolls(RolloutPlan& plan, const TrialPlayers& players) {
  const PlannedTrials trials(plan, players);
  ChoiceScratch scratch;
  for (std::size_t i = 0; i < plan.starts.size(); ++i) {
    plan.starts[i].first_rolls = trials.first_rolls(i, scratch);
  }
}

}  // namespace

std::uint64_t whole_blocks(std::uint64_t trials) noexcept {
  return std::max(kFewestBlocks, (trials + kBlockTrials - 1) / kBlockTrials) * kBlockTrials;
}

std::uint64_t RolloutPlan::identity() const {
  ByteWriter bytes;
  bytes.add(players);
  for (const Start& start : starts) {
    bytes.add(start.play.bits());
    add(bytes, start.trials);
    bytes.add(start.is_known);
    bytes.add(start.is_named);
  }
  bytes.add(worth);
  bytes.add(cube.has_value());
  if (cube) {
    bytes.add(cube->cube().value);
    bytes.add(cube->cube().owner);
    bytes.add(cube->money().jacoby);
    bytes.add(cube->money().beavers);
    bytes.add(cube->worth());
  }
  add(bytes, settings);
  bytes.add(all_go_on);
  return hash_of_bytes(bytes.bytes());
}

RolloutPlan plan_plays(const TrialPlayers& players, const Position& position,
                       std::span<const PlayKey> plays, const Score& score,
                       const RolloutSettings& settings, const std::optional<CubeRules>& cube,
                       std::span<const PlayKey> named) {
  assert(!plays.empty() && !game_over(position));
  RolloutPlan plan{{}, cube ? cube->outcome_worth() : score.worth, cube, settings};
  for (const PlayKey play : plays) {
    TrialStart start{position_after(position, play)};
    if (cube) start.cube = cube->start();
    plan.starts.push_back(start_of(players, settings, play, start));
    plan.starts.back().is_named = std::find(named.begin(), named.end(), play) != named.end();
  }
  plan.players = players.identity;
  look_at_first_rolls(plan, players);
  return plan;
}

RolloutPlan plan_double(const TrialPlayers& players, const Position& position,
                        const CubeRules& cube, const RolloutSettings& settings) {
  assert(!game_over(position));
  RolloutPlan plan{{}, cube.outcome_worth(), cube, settings, true};
  const auto add_start = [&](const CubeState& state) {
    plan.starts.push_back(start_of(players, settings, {}, {position, true, state, false}));
  };
  add_start(cube.start());
  for (const CubeState& doubled : cube.after_double()) add_start(doubled);
  plan.players = players.identity;
  look_at_first_rolls(plan, players);
  return plan;
}

}  // namespace sixfold
