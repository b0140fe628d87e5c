#include "study/json_report.h"

#include <array>
#include <nlohmann/json.hpp>

#include "rules/notation.h"
#include "study/ledger.h"

namespace sixfold {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::array<const char*, kOutcomeCount> kOutcomeFields{
    "lose_backgammon", "lose_gammon", "lose_single", "win_single", "win_gammon", "win_backgammon"};

Json head(const char* schema, const Decision& decision, const std::string& net) {
  Json json;
  json["schema"] = schema;
  json["id"] = Json::parse(decision.id);
  json["position"] = position_text(decision.position);
  if (decision.roll) json["dice"] = roll_text(*decision.roll);
  json["score"] = decision.score.name;
  json["net"] = net;
  return json;
}

/// One line; bytes that are not UTF-8, as a file's name may have, are replaced.
std::string line_of(const Json& json) {
  return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

Json outcomes_json(const OutcomeDistribution& outcomes) {
  Json json;
  for (std::size_t i = 0; i < kOutcomeCount; ++i) json[kOutcomeFields[i]] = outcomes[i];
  return json;
}

void add_chance(Json& json, const Score& score, double equity) {
  if (const auto chance = match_winning_chance(score, equity)) {
    json["match_winning_chance"] = *chance;
  }
}

Json side_json(const BearOffSide& side) {
  Json json{{"pips", side.pips},
            {"mean_rolls", side.mean_rolls},
            {"standard_deviation", side.standard_deviation},
            {"effective_pips", side.effective_pip_count()},
            {"wastage", side.wastage()}};
  for (int k = side.rolls.first; k <= side.rolls.last(); ++k) {
    json["rolls"][std::to_string(k)] = side.rolls.of(k);
  }
  return json;
}

/// Equities per unit of the present cube, for the side on roll at money.
Json exact_cube_json(const TwoSidedTable::Entry& entry) {
  const auto action = [&](CubeOwner owner) {
    return action_text(exact_decision(entry, owner).action);
  };
  return {{"centred", {{"no_double", entry.hold_centred}, {"action", action(CubeOwner::kCentred)}}},
          {"roller", {{"no_double", entry.hold_owned}, {"action", action(CubeOwner::kRoller)}}},
          {"opponent", {{"no_double", entry.opponents}}},
          {"double_take", entry.double_take()},
          {"double_pass", 1.0}};
}

void add_bear_off(Json& json, const Evaluation& evaluation) {
  if (!evaluation.bear_off) return;
  json["bear_off"] = {{"roller", side_json(evaluation.bear_off->roller)},
                      {"opponent", side_json(evaluation.bear_off->opponent)}};
  if (evaluation.bear_off->cube && !evaluation.decision.score.match) {
    json["bear_off"]["cube"] = exact_cube_json(*evaluation.bear_off->cube);
  }
}

Json play_head(const Decision& decision, std::size_t rank, PlayKey play) {
  Json json;
  json["rank"] = rank;
  json["play"] = play_text(decision.position, *decision.roll, play);
  json["result"] = position_text(position_after(decision.position, play));
  return json;
}

Json settings_json(const RolloutSettings& settings) {
  Json json;
  json["trials"] = settings.trials;
  if (settings.half_width > 0.0) {
    json["half_width"] = settings.half_width;
    json["most_trials"] = settings.most_trials;
  }
  json["confidence"] = settings.confidence;
  json["lookahead"] = settings.lookahead;
  json["truncate"] = settings.truncate;
  json["plain"] = settings.is_plain();
  json["stratified"] = settings.stratified;
  const char* source = settings.luck != nullptr ? "networks" : "full";
  json["luck"] = settings.luck_control ? source : "none";
  return json;
}

Json ledger_json(const Ledger& ledger) {
  Json json = Json::array();
  for (const LedgerLine& line : ledger.lines) {
    json.push_back(
        {{"name", line.name},
         {"change", {{"mean", line.change.mean}, {"half_width", line.change.half_width}}},
         {"price", line.price},
         {"worth", {{"mean", line.worth.mean}, {"half_width", line.worth.half_width}}}});
  }
  return json;
}

Json rolled_play_json(const RolledDecision& rolled, std::size_t i) {
  const RolledPlay& play = rolled.result.plays[i];
  Json json = play_head(rolled.decision, i + 1, play.play);
  json["trials"] = play.trials;
  for (std::size_t o = 0; o < kOutcomeCount; ++o) {
    json["outcomes"][kOutcomeFields[o]] = {{"mean", play.outcomes[o].mean},
                                           {"half_width", play.outcomes[o].half_width}};
  }
  json["equity"] = {{"mean", play.equity.mean},
                    {"standard_error", play.equity.standard_error},
                    {"half_width", play.equity.half_width}};
  add_chance(json, rolled.decision.score, play.equity.mean);
  json["cost"] = {{"mean", play.cost.mean}, {"half_width", play.cost.half_width}};
  if (rolled.ledgers && i > 0) json["ledger"] = ledger_json(ledger_of(play, rolled.decision.score.worth));
  json["best_probability"] = play.best_probability;
  json["verdict"] = verdict_name(verdict_of(i == 0, play.cost, rolled.thresholds));
  return json;
}

Json rollout_object(const RolledDecision& rolled) {
  Json json = head("sixfold.rollout/1", rolled.decision, rolled.net);
  json["seed"] = rolled.settings.seed;
  json["settings"] = settings_json(rolled.settings);
  if (rolled.result.interrupted) json["interrupted"] = true;
  json["plays"] = Json::array();
  for (std::size_t i = 0; i < rolled.result.plays.size(); ++i) {
    json["plays"].push_back(rolled_play_json(rolled, i));
  }
  json["seconds"] = rolled.seconds;
  return json;
}

}  // namespace

std::string evaluation_json(const Evaluation& evaluation) {
  const Decision& decision = evaluation.decision;
  Json json = head("sixfold.evaluation/1", decision, evaluation.net);
  if (!decision.roll) {
    json["outcomes"] = outcomes_json(evaluation.outcomes);
    json["equity"] = evaluation.equity;
    add_chance(json, decision.score, evaluation.equity);
    json["method"] = method_name(evaluation.method);
    add_bear_off(json, evaluation);
    return line_of(json);
  }
  json["plays"] = Json::array();
  for (std::size_t i = 0; i < evaluation.plays.size(); ++i) {
    const EvaluatedPlay& play = evaluation.plays[i];
    Json entry = play_head(decision, i + 1, play.play);
    entry["outcomes"] = outcomes_json(play.outcomes);
    entry["equity"] = play.equity;
    add_chance(entry, decision.score, play.equity);
    entry["cost"] = play.cost;
    entry["method"] = method_name(play.method);
    json["plays"].push_back(std::move(entry));
  }
  return line_of(json);
}

std::string cube_json(const CubeStudy& study) {
  const CubeDecision& found = study.equities;
  Json json = head("sixfold.cube/1", study.decision, study.net);
  constexpr std::array kOwners{"centred", "roller", "opponent"};
  json["cube"] = {{"value", study.decision.cube.value},
                  {"owner", kOwners[static_cast<std::size_t>(study.decision.cube.owner)]}};
  if (study.rules.jacoby) json["jacoby"] = true;
  if (study.rules.beavers) json["beavers"] = true;
  json["outcomes"] = outcomes_json(study.outcomes);
  json["no_double"] = found.no_double;
  if (found.double_take) {
    json["double_take"] = *found.double_take;
    json["double_pass"] = *found.double_pass;
    if (found.is_beavered) json["beavered"] = true;
  }
  json["action"] = action_text(found.action);
  json["method"] = study.is_exact ? "exact" : "model";
  if (found.double_take) {
    const CubeCosts costs = costs_of(found);
    json["costs"] = {{"no_double", costs.no_double},
                     {"double", costs.doubling},
                     {"take", costs.take},
                     {"pass", costs.pass}};
  }
  if (found.cash_point) {
    json["double_point"] = *found.double_point;
    json["cash_point"] = *found.cash_point;
    json["take_point"] = found.take_point->live;
    json["dead_take_point"] = found.take_point->dead;
  }
  if (study.market_losers) json["market_losers"] = *study.market_losers;
  return line_of(json);
}

std::string rollout_json(const RolledDecision& rolled) { return line_of(rollout_object(rolled)); }

std::string lesson_json(const Lesson& lesson) {
  Json json;
  json["schema"] = "sixfold.lesson/1";
  json["title"] = lesson.plan.title;
  json["notes"] = lesson.plan.notes;
  json["position"] = position_text(lesson.plan.position);
  json["rolls"] = Json::array();
  for (const Roll roll : lesson.plan.rolls) json["rolls"].push_back(roll_text(roll));
  json["scores"] = Json::array();
  for (const Score& score : lesson.plan.scores) json["scores"].push_back(score.name);
  json["net"] = lesson.net;
  json["cells"] = Json::array();
  for (const RolledDecision& cell : lesson.cells) json["cells"].push_back(rollout_object(cell));
  return line_of(json);
}

std::string solved_json(const SolvedSummary& summary) {
  constexpr OutcomeWorth kMoney{-3, -2, -1, 1, 2, 3};
  Json json;
  json["schema"] = "sixfold.solution/1";
  json["checkers"] = summary.checkers;
  json["positions"] = summary.positions;
  json["position"] = position_text(summary.start);
  json["equity"] = worth_of(summary.before_roll, kMoney);
  json["outcomes"] = outcomes_json(summary.before_roll);
  json["opening_winner"] = {{"equity", worth_of(summary.opening_winner, kMoney)},
                            {"outcomes", outcomes_json(summary.opening_winner)}};
  if (!summary.file.empty()) json["file"] = summary.file;
  json["loaded"] = summary.loaded;
  json["seconds"] = summary.seconds;
  return line_of(json);
}

std::string error_json(std::string_view id, std::string_view message) {
  Json json;
  json["id"] = Json::parse(id);
  json["error"] = message;
  return line_of(json);
}

}  // namespace sixfold
