#include "study/json_report.h"

#include <array>
#include <nlohmann/json.hpp>

#include "rules/notation.h"
#include "study/facts.h"
#include "study/ledger.h"
#include "study/outcome_names.h"

namespace sixfold {
namespace {

using Json = nlohmann::ordered_json;

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

void add_chance(Json& json, const Decision& decision, double equity) {
  if (const auto chance = match_chance(decision, equity)) json["match_winning_chance"] = *chance;
}

Json mean_json(const Estimate& estimate) {
  return {{"mean", estimate.mean}, {"half_width", estimate.half_width}};
}

Json cube_state_json(const Decision& decision) {
  constexpr std::array kOwners{"centred", "roller", "opponent"};
  return {{"value", decision.cube->value},
          {"owner", kOwners[static_cast<std::size_t>(decision.cube->owner)]}};
}

/// How games end with the cube: the joint distribution, and points.
void add_ends(Json& json, const RolledCube& cube, int value) {
  json["cubeless_equity"] = mean_json(cube.cubeless_equity);
  json["ends"] = Json::array();
  for (const RolledCube::End& end : cube.ends) {
    const char* name = end.end == kPassLost  ? "own_pass"
                       : end.end == kPassWon ? "opponents_pass"
                                             : kOutcomeFields[end.end];
    Json entry{{"cube", value << end.turns}, {"end", name}};
    entry.update(mean_json(end.share));
    json["ends"].push_back(std::move(entry));
  }
  json["points"] = Json::array();
  for (const RolledCube::Points& one : cube.points) {
    Json entry{{"points", value * one.points}};
    entry.update(mean_json(one.share));
    json["points"].push_back(std::move(entry));
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

Json side_facts_json(const SideFacts& side) {
  Json json{{"pips", side.pips},
            {"blots", side.blots},
            {"home_blots", side.home_blots},
            {"anchors", side.anchors},
            {"home_points", side.home_points},
            {"prime", {{"length", side.prime.length}, {"from", side.prime.from}}},
            {"stacked", side.stacked},
            {"back", side.back},
            {"on_bar", side.on_bar}};
  json["spares"] = Json::array();
  for (const auto& [point, spares] : side.spares) {
    json["spares"].push_back({{"point", point}, {"checkers", spares}});
  }
  return json;
}

Json play_facts_json(const PlayFacts& facts) {
  Json json{{"mover", side_facts_json(facts.mover)},
            {"opponent", side_facts_json(facts.opponent)},
            {"hits", facts.hits},
            {"made", facts.made},
            {"broken", facts.broken},
            {"stripped", facts.stripped},
            {"shots", {{"any", facts.shots.any}, {"two", facts.shots.more}}}};
  if (facts.opponent_enters) {
    json["opponent_enters"] = {{"any", facts.opponent_enters->any},
                               {"all", facts.opponent_enters->more}};
  }
  return json;
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
    json.push_back({{"name", line.name},
                    {"change", mean_json(line.change)},
                    {"price", line.price},
                    {"worth", mean_json(line.worth)}});
  }
  if (ledger.cube) json.push_back({{"name", "the cube"}, {"worth", mean_json(*ledger.cube)}});
  return json;
}

Json rolled_play_json(const RolledDecision& rolled, std::size_t i) {
  const RolledPlay& play = rolled.result.plays[i];
  Json json = play_head(rolled.decision, i + 1, play.play);
  json["trials"] = play.trials;
  for (std::size_t o = 0; o < kOutcomeCount; ++o) {
    json["outcomes"][kOutcomeFields[o]] = mean_json(play.outcomes[o]);
  }
  json["equity"] = {{"mean", play.equity.mean},
                    {"standard_error", play.equity.standard_error},
                    {"half_width", play.equity.half_width}};
  add_chance(json, rolled.decision, play.equity.mean);
  json["cost"] = mean_json(play.cost);
  if (play.cube) add_ends(json, *play.cube, rolled.decision.cube->value);
  if (rolled.ledgers && i > 0) json["ledger"] = ledger_json(ledger_of(play, rolled.worth));
  json["best_probability"] = play.best_probability;
  json["verdict"] = verdict_name(verdict_of(i == 0, play.cost, rolled.thresholds));
  return json;
}

/// Where there is a cube: the cube and the options of money play.
void add_cube(Json& json, const Decision& decision) {
  if (!decision.cube) return;
  json["cube"] = cube_state_json(decision);
  if (decision.money.jacoby) json["jacoby"] = true;
  if (decision.money.beavers) json["beavers"] = true;
}

Json rollout_object(const RolledDecision& rolled) {
  Json json = head("sixfold.rollout/1", rolled.decision, rolled.net);
  add_cube(json, rolled.decision);
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

/// The intervals of a rolled-out doubling decision, and how its games end.
void add_rolled_double(Json& json, const CubeStudy& study) {
  const auto action = [&](const RolledPlay& play) {
    Json entry{{"trials", play.trials}, {"equity", mean_json(play.equity)}};
    add_ends(entry, *play.cube, study.decision.cube->value);
    return entry;
  };
  json["seed"] = study.settings.seed;
  json["settings"] = settings_json(study.settings);
  if (study.rolled->interrupted) json["interrupted"] = true;
  json["rollout"]["no_double"] = action(study.rolled->no_double);
  if (!study.rolled->double_take) return;
  json["rollout"]["double_take"] = action(*study.rolled->double_take);
  json["rollout"]["difference"] = mean_json(study.rolled->difference);
  const OpenQuestions open = open_questions(study);
  json["settled"] = {{"double", !open.doubling}, {"take", !open.taking}};
}

}  // namespace

std::string evaluation_json(const Evaluation& evaluation) {
  const Decision& decision = evaluation.decision;
  Json json = head("sixfold.evaluation/1", decision, evaluation.net);
  if (evaluation.tells_facts) {
    json["facts"] = {{"roller", side_facts_json(side_facts(decision.position.roller))},
                     {"opponent", side_facts_json(side_facts(decision.position.opponent))}};
  }
  if (!decision.roll) {
    json["outcomes"] = outcomes_json(evaluation.outcomes);
    json["equity"] = evaluation.equity;
    add_chance(json, decision, evaluation.equity);
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
    add_chance(entry, decision, play.equity);
    entry["cost"] = play.cost;
    entry["method"] = method_name(play.method);
    if (evaluation.tells_facts) {
      entry["facts"] = play_facts_json(play_facts(decision.position, play.play));
    }
    json["plays"].push_back(std::move(entry));
  }
  return line_of(json);
}

std::string cube_json(const CubeStudy& study) {
  const CubeDecision& found = study.equities;
  Json json = head("sixfold.cube/1", study.decision, study.net);
  add_cube(json, study.decision);
  json["outcomes"] = outcomes_json(study.outcomes);
  json["no_double"] = found.no_double;
  if (found.double_take) {
    json["double_take"] = *found.double_take;
    json["double_pass"] = *found.double_pass;
    if (found.is_beavered) json["beavered"] = true;
  }
  json["action"] = action_text(found.action);
  json["method"] = study.is_exact ? "exact" : study.rolled ? "rollout" : "model";
  if (study.rolled) add_rolled_double(json, study);
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
  for (const RollRemarks& remarks : lesson.plan.remarks) {
    Json entry{{"dice", roll_text(remarks.roll)}, {"notes", remarks.notes}};
    for (const PlayKey play : remarks.plays) {
      entry["plays"].push_back(play_text(lesson.plan.position, remarks.roll, play));
    }
    json["remarks"].push_back(std::move(entry));
  }
  for (const CubeStudy& study : lesson.doubles) {
    json["doubles"].push_back(Json::parse(cube_json(study)));
  }
  json["cells"] = Json::array();
  for (const RolledDecision& cell : lesson.cells) json["cells"].push_back(rollout_object(cell));
  for (const FlipStudy& flip : lesson.flips) json["flips"].push_back(Json::parse(flip_json(flip)));
  return line_of(json);
}

std::string solved_json(const SolvedSummary& summary) {
  Json json;
  json["schema"] = "sixfold.solution/1";
  json["checkers"] = summary.checkers;
  json["positions"] = summary.positions;
  json["position"] = position_text(summary.start);
  json["equity"] = worth_of(summary.before_roll, kMoneyWorth);
  json["outcomes"] = outcomes_json(summary.before_roll);
  json["opening_winner"] = {{"equity", worth_of(summary.opening_winner, kMoneyWorth)},
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
