#include "report/json/json_parts.h"
#include "report/json/json_report.h"
#include "report/words/names.h"

namespace sixfold {
namespace {

/// The intervals of a rolled-out doubling decision, and how its games end.
void add_rolled_double(Json& json, const CubeStudy& study) {
  const auto action = [&](const RolledPlay& play) {
    Json entry{{"trials", play.trials},
               {"outcomes", outcomes_json(play.outcomes)},
               {"equity", mean_json(play.equity)},
               {"cubeless_equity", mean_json(cubeless_equity(play))}};
    add_chance(entry, study.decision, play.equity);
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
  json["rollout"]["by_roll"] = by_roll_json(study.rolled->by_roll);
  const OpenQuestions open = open_questions(study);
  json["settled"] = {{"double", !open.doubling}, {"take", !open.taking}};
}

/// At a match score: the chance to win it by each action.
void add_chances(Json& json, const CubeStudy& study) {
  const auto add = [&](const char* action, double equity) {
    if (const auto chance = match_chance(study.decision, equity)) {
      json["match_winning_chance"][action] = *chance;
    }
  };
  add("no_double", study.equities.no_double);
  if (!study.equities.double_take) return;
  add("double_take", *study.equities.double_take);
  add("double_pass", *study.equities.double_pass);
}

}  // namespace

Json cube_object(const CubeStudy& study, const Provenance& made_by, const CallersName& name) {
  const CubeDecision& found = study.equities;
  Json json = decision_head("sixfold.cube/2", study.decision,
                            study.rolled ? made_by : made_by.without_opponent(), name);
  json["outcomes"] = outcomes_json(study.outcomes);
  json["no_double"] = found.no_double;
  if (found.double_take) {
    json["double_take"] = *found.double_take;
    json["double_pass"] = *found.double_pass;
    if (found.is_beavered) json["beavered"] = true;
  }
  add_chances(json, study);
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
  return json;
}

std::string cube_json(const CubeStudy& study, const Provenance& made_by, const CallersName& name) {
  return line_of(cube_object(study, made_by, name));
}

}  // namespace sixfold
