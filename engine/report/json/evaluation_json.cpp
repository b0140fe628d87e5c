#include "report/json/json_parts.h"
#include "report/json/json_report.h"
#include "report/words/names.h"
#include "rules/notation.h"
#include "study/facts.h"

namespace sixfold {
namespace {

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
  Json json{{"roller", side_facts_json(facts.mover)},
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

/// A position before the dice or a play, of which an evaluation tells the same.
template <typename Evaluated>
void add_evaluated(Json& json, const Evaluation& evaluation, const Evaluated& evaluated) {
  json["outcomes"] = outcomes_json(evaluated.outcomes);
  json["equity"] = evaluated.equity;
  json["cubeless_equity"] = evaluated.cubeless_equity;
  add_chance(json, evaluation.decision, evaluated.equity);
  json["method"] = method_name(evaluated.method);
  if (evaluation.is_cube_alive) json["equity_method"] = equity_method_name(evaluated.is_exact);
}

}  // namespace

std::string evaluation_json(const Evaluation& evaluation, const Telling& telling,
                            const CallersName& name) {
  const Decision& decision = evaluation.decision;
  Json json = decision_head("sixfold.evaluation/3", decision, telling.made_by, name);
  if (telling.with_facts) {
    json["facts"] = {{"roller", side_facts_json(side_facts(decision.position.roller))},
                     {"opponent", side_facts_json(side_facts(decision.position.opponent))}};
  }
  if (!decision.roll) {
    add_evaluated(json, evaluation, evaluation);
    add_bear_off(json, evaluation);
    return line_of(json);
  }
  json["plays"] = Json::array();
  for (std::size_t i = 0; i < evaluation.plays.size(); ++i) {
    const EvaluatedPlay& play = evaluation.plays[i];
    Json entry = play_head(decision, i + 1, play.play);
    entry["cost"] = play.cost;
    add_evaluated(entry, evaluation, play);
    if (telling.with_facts) {
      entry["facts"] = play_facts_json(play_facts(decision.position, play.play));
    }
    json["plays"].push_back(std::move(entry));
  }
  return line_of(json);
}

}  // namespace sixfold
