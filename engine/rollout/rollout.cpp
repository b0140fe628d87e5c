#include "rollout/rollout.h"

#include <utility>

namespace sixfold {
namespace {

RolloutState played(RolloutPlan plan, const TrialPlayers& players, TrialRunner& runner) {
  RolloutState state(std::move(plan));
  runner.run(PlannedTrials(state.plan(), players), state);
  return state;
}

}  // namespace

RolloutResult roll_out(const TrialPlayers& players, const Position& position,
                       std::span<const PlayKey> plays, const Score& score,
                       const RolloutSettings& settings, TrialRunner& runner,
                       const std::optional<CubeRules>& cube, std::span<const PlayKey> named) {
  RolloutPlan plan = plan_plays(players, position, plays, score, settings, cube, named);
  return played(std::move(plan), players, runner).result();
}

std::optional<RolledPlay> roll_out_position(const TrialPlayers& players, const Position& position,
                                            const OutcomeWorth& worth,
                                            const RolloutSettings& settings, TrialRunner& runner) {
  RolloutPlan plan = plan_position(players, position, worth, settings);
  const RolloutState state = played(std::move(plan), players, runner);
  if (!state.has_result()) return std::nullopt;
  return state.rolled_position();
}

std::optional<RolledDouble> roll_out_double(const TrialPlayers& players, const Position& position,
                                            const CubeRules& cube, const RolloutSettings& settings,
                                            TrialRunner& runner) {
  RolloutPlan plan = plan_double(players, position, cube, settings);
  const RolloutState state = played(std::move(plan), players, runner);
  if (!state.has_result()) return std::nullopt;
  return state.rolled_double();
}

}  // namespace sixfold
