#include "report/json/json_parts.h"
#include "report/json/json_report.h"
#include "report/words/names.h"
#include "study/ledger.h"

namespace sixfold {
namespace {

Json ledger_json(const Ledger& ledger) {
  Json json = Json::array();
  for (std::size_t i = 0; i < ledger.lines.size(); ++i) {
    const LedgerLine& line = ledger.lines[i];
    json.push_back({{"name", kShareWords[i]},
                    {"change", mean_json(line.change)},
                    {"price", line.price},
                    {"worth", mean_json(line.worth)}});
  }
  if (ledger.cube) json.push_back({{"name", "the cube"}, {"worth", mean_json(*ledger.cube)}});
  return json;
}

}  // namespace

Json rolled_play_json(const RolledDecision& rolled, std::size_t i, bool with_ledger) {
  const RolledPlay& play = rolled.result.plays[i];
  Json json = play_head(rolled.decision, i + 1, play.play);
  json["trials"] = play.trials;
  json["outcomes"] = outcomes_json(play.outcomes);
  json["equity"] = {{"mean", play.equity.mean},
                    {"standard_error", play.equity.standard_error},
                    {"half_width", play.equity.half_width}};
  json["cubeless_equity"] = mean_json(cubeless_equity(play));
  add_chance(json, rolled.decision, play.equity);
  json["cost"] = play.at_least ? Json{{"at_least", *play.at_least}} : mean_json(play.cost);
  if (play.cube) add_ends(json, *play.cube, rolled.decision.cube->value);
  if (with_ledger && i > 0 && !play.at_least) {
    json["ledger"] = ledger_json(ledger_of(play, rolled.worth));
    json["by_roll"] = by_roll_json(play.by_roll);
  }
  json["best_probability"] = play.best_probability;
  json["verdict"] = verdict_name(verdict_of(i == 0, play));
  const auto grade = i == 0 ? std::nullopt : grade_of(play, rolled.grades);
  if (grade) json["grade"] = grade_name(*grade);
  return json;
}

Json rollout_object(const RolledDecision& rolled, const Telling& telling, const CallersName& name) {
  Json json = decision_head("sixfold.rollout/3", rolled.decision, telling.made_by, name);
  json["seed"] = rolled.settings.seed;
  json["settings"] = settings_json(rolled.settings);
  if (rolled.result.interrupted) json["interrupted"] = true;
  json["plays"] = Json::array();
  for (std::size_t i = 0; i < rolled.result.plays.size(); ++i) {
    json["plays"].push_back(rolled_play_json(rolled, i, telling.with_ledgers));
  }
  json["seconds"] = telling.seconds;
  return json;
}

std::string rollout_json(const RolledDecision& rolled, const Telling& telling,
                         const CallersName& name) {
  return line_of(rollout_object(rolled, telling, name));
}

}  // namespace sixfold
