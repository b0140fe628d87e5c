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

void add(ByteWriter& bytes, const CubeRules& cube) {
  bytes.add(cube.cube().value);
  bytes.add(cube.cube().owner);
  bytes.add(cube.money().jacoby);
  bytes.add(cube.money().beavers);
  bytes.add(cube.worth());
}

/// All that results depend on.
void add(ByteWriter& bytes, const RolloutPlan& plan) {
  bytes.add(plan.players);
  for (const RolloutPlan::Start& start : plan.starts) {
    bytes.add(start.play.bits());
    add(bytes, start.trials);
    bytes.add(start.is_known);
    bytes.add(start.is_named);
  }
  bytes.add(plan.worth);
  bytes.add(plan.cube.has_value());
  if (plan.cube) add(bytes, *plan.cube);
  add(bytes, plan.settings);
  bytes.add(plan.all_go_on);
}

// The same the other way round.

TrialStart take_trial_start(ByteReader& bytes) {
  TrialStart start;
  start.position.roller = Side(bytes.take<Packed128>());
  start.position.opponent = Side(bytes.take<Packed128>());
  start.player_rolls = bytes.take_flag();
  start.cube.turns = bytes.take<std::uint64_t>();
  start.cube.owner = bytes.take<CubeOwner>();
  start.may_double = bytes.take_flag();
  return start;
}

RolloutSettings take_settings(ByteReader& bytes) {
  RolloutSettings settings;
  settings.trials = bytes.take<std::uint64_t>();
  settings.half_width = bytes.take<double>();
  settings.most_trials = bytes.take<std::uint64_t>();
  settings.confidence = bytes.take<double>();
  settings.seed = bytes.take<std::uint64_t>();
  settings.lookahead = bytes.take<int>();
  settings.truncate = bytes.take<int>();
  settings.stratified = bytes.take_flag();
  settings.luck = bytes.take<LuckControl>();
  settings.keep_groups = bytes.take_flag();
  settings.known_ends = bytes.take_flag();
  return settings;
}

CubeRules take_cube(ByteReader& bytes, const Score& score,
                    std::shared_ptr<const TwoSidedTable> two_sided) {
  Cube cube;
  MoneyRules money;
  cube.value = bytes.take<int>();
  cube.owner = bytes.take<CubeOwner>();
  money.jacoby = bytes.take_flag();
  money.beavers = bytes.take_flag();
  static_cast<void>(bytes.take<CubeResults>());  // Its worth follows from the rest.
  return {score, cube, money, std::move(two_sided)};
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
  add(bytes, *this);
  return hash_of_bytes(bytes.bytes());
}

std::string RolloutPlan::save() const {
  ByteWriter bytes;
  bytes.add(identity());
  bytes.add_text(cube ? cube->score_name() : std::string());
  std::vector<FirstRolls> first_rolls;
  for (const Start& start : starts) first_rolls.push_back(start.first_rolls);
  bytes.add_list(first_rolls);
  add(bytes, *this);
  return bytes.bytes();
}

RolloutPlan RolloutPlan::load(std::string_view saved, const MatchEquityTable& table,
                              std::shared_ptr<const TwoSidedTable> two_sided,
                              const std::string& where) {
  ByteReader bytes(saved, where);
  const auto identity = bytes.take<std::uint64_t>();
  const std::string score = bytes.take_text();
  RolloutPlan plan;
  const auto first_rolls = bytes.take_list<FirstRolls>();
  plan.players = bytes.take<std::uint64_t>();
  for (const FirstRolls& its : first_rolls) {
    Start start;
    start.play = PlayKey(bytes.take<Packed128>());
    start.trials = take_trial_start(bytes);
    start.is_known = bytes.take_flag();
    start.is_named = bytes.take_flag();
    start.first_rolls = its;
    plan.starts.push_back(start);
  }
  plan.worth = bytes.take<OutcomeWorth>();
  if (bytes.take_flag()) {
    plan.cube = take_cube(bytes, parse_score(score, table), std::move(two_sided));
  }
  plan.settings = take_settings(bytes);
  plan.all_go_on = bytes.take_flag();
  if (!bytes.at_end() || plan.starts.empty() || plan.identity() != identity) {
    bytes.fail("is another plan here than where it was made");
  }
  return plan;
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

RolloutPlan plan_position(const TrialPlayers& players, const Position& position,
                          const OutcomeWorth& worth, const RolloutSettings& settings) {
  assert(!game_over(position));
  RolloutPlan plan{{}, worth, std::nullopt, settings, true};
  plan.starts.push_back(start_of(players, settings, {}, {position, true}));
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
