/// What the JSON reports are made of. Used by the files of this folder alone.
#pragma once

#include <array>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>

#include "report/telling.h"
#include "study/cube_study.h"
#include "study/decision.h"
#include "study/flip.h"

namespace sixfold {

using Json = nlohmann::ordered_json;

/// One line; bytes that are not UTF-8, as a file's name may have, are replaced.
[[nodiscard]] std::string line_of(const Json& json);

[[nodiscard]] Json mean_json(const Estimate& estimate);
[[nodiscard]] Json outcomes_json(const OutcomeDistribution& outcomes);
[[nodiscard]] Json outcomes_json(const std::array<Estimate, kOutcomeCount>& outcomes);
[[nodiscard]] Json settings_json(const RolloutSettings& settings);

/// The parts of a difference by roll, in the order of kRolls.
[[nodiscard]] Json by_roll_json(const std::array<Estimate, kRollCount>& parts);

/// What every report of a decision begins with.
[[nodiscard]] Json decision_head(const char* schema, const Decision& decision,
                                 const Provenance& made_by, const CallersName& name);
/// The net, and the opponent's where he has one of his own.
void add_nets(Json& json, const Provenance& made_by);
/// The cube, or "none", and the options of money play that are in force.
void add_cube(Json& json, const std::optional<Cube>& cube, const MoneyRules& money);
/// Where there is something odd about the position.
void add_warnings(Json& json, const Position& position);
/// What every play begins with.
[[nodiscard]] Json play_head(const Decision& decision, std::size_t rank, PlayKey play);
/// At a match score: the chance to win the match, which is as much of an estimate as the equity.
void add_chance(Json& json, const Decision& decision, const Estimate& equity);
/// How games end with the cube: the joint distribution, and points.
void add_ends(Json& json, const RolledCube& cube, int value);

/// A play of a rollout, by its number in the list.
[[nodiscard]] Json rolled_play_json(const RolledDecision& rolled, std::size_t i, bool with_ledger);

// Whole reports as parts of a lesson's.
[[nodiscard]] Json rollout_object(const RolledDecision& rolled, const Telling& telling,
                                  const CallersName& name = {});
[[nodiscard]] Json cube_object(const CubeStudy& study, const Provenance& made_by,
                               const CallersName& name = {});
[[nodiscard]] Json flip_object(const FlipStudy& study, const Telling& telling);

}  // namespace sixfold
