/// Rolling out the plays of a roll, a position or a doubling decision, from beginning to end.
///
/// A rollout is a pure function of position, roll, plays, score, players and settings: it is
/// bit-identical for any runner, any number of threads, any interruption and resumption. All plays
/// share their dice, so that costs come from paired differences. Errors come from independent
/// blocks of six trials (rollout/trial.h). Those who want to save a rollout on its way use
/// rollout/state.h themselves.
#pragma once

#include <optional>
#include <span>

#include "rollout/plan.h"
#include "rollout/rolled.h"
#include "rollout/runner.h"

namespace sixfold {

/// As plan_plays() has it. Returns no plays when it was stopped before every play had its fewest
/// trials.
[[nodiscard]] RolloutResult roll_out(const TrialPlayers& players, const Position& position,
                                     std::span<const PlayKey> plays, const Score& score,
                                     const RolloutSettings& settings, TrialRunner& runner,
                                     const std::optional<CubeRules>& cube = {},
                                     std::span<const PlayKey> named = {});

/// As plan_position() has it: from the viewpoint of the side on roll, all trials of
/// settings.trials. Nothing when it was stopped before the fewest trials.
[[nodiscard]] std::optional<RolledPlay> roll_out_position(const TrialPlayers& players,
                                                          const Position& position,
                                                          const OutcomeWorth& worth,
                                                          const RolloutSettings& settings,
                                                          TrialRunner& runner);

/// As plan_double() has it. Nothing when it was stopped before the fewest trials. With a half-width
/// goes on until the differences to no double are known that well.
[[nodiscard]] std::optional<RolledDouble> roll_out_double(const TrialPlayers& players,
                                                          const Position& position,
                                                          const CubeRules& cube,
                                                          const RolloutSettings& settings,
                                                          TrialRunner& runner);

}  // namespace sixfold
