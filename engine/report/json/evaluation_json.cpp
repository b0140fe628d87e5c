#include "report/json/json_parts.h"
#include "report/json/json_report.h"
#include "report/json/object_writer.h"
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

Json bear_off_json(const Evaluation& evaluation) {
  const BearOffFacts& facts = *evaluation.bear_off;
  Json json{{"roller", side_json(facts.roller)}, {"opponent", side_json(facts.opponent)}};
  if (facts.cube && !evaluation.decision.score.match) json["cube"] = exact_cube_json(*facts.cube);
  return json;
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
void write_evaluated(ObjectWriter& object, const Evaluation& evaluation,
                     const Evaluated& evaluated) {
  object.outcomes(evaluated.outcomes);
  object.number("equity", evaluated.equity);
  object.number("cubeless_equity", evaluated.cubeless_equity);
  if (const auto chance = match_chance(evaluation.decision, evaluated.equity)) {
    object.number("match_winning_chance", *chance);
  }
  object.text("method", method_name(evaluated.method));
  if (evaluation.is_cube_alive) {
    object.text("equity_method", equity_method_name(evaluated.is_exact));
  }
}

void write_plays(ObjectWriter& object, const Evaluation& evaluation, bool with_facts) {
  const Decision& decision = evaluation.decision;
  int rank = 0;
  object.list("plays", evaluation.plays, [&](std::string& line, const EvaluatedPlay& play) {
    ObjectWriter entry(line);
    entry.count("rank", ++rank);
    entry.text("play", play_text(decision.position, *decision.roll, play.play));
    entry.text("result", position_text(position_after(decision.position, play.play)));
    entry.number("cost", play.cost);
    write_evaluated(entry, evaluation, play);
    if (with_facts)
      entry.json("facts", line_of(play_facts_json(play_facts(decision.position, play.play))));
    entry.end();
  });
}

}  // namespace

std::string distribution_json(const OutcomeDistribution& outcomes, const Score& score,
                              const CallersName& name) {
  std::string line;
  ObjectWriter object(line);
  object.text("schema", "sixfold.distribution/1");
  object.json("id", name.id);
  if (!name.title.empty()) object.json("title", line_of(Json(name.title)));
  object.text("score", score.name);
  object.outcomes(outcomes);
  object.end();
  return line;
}

std::string evaluation_json(const Evaluation& evaluation, const Telling& telling,
                            const CallersName& name) {
  const Decision& decision = evaluation.decision;
  Json head =
      decision_head("sixfold.evaluation/3", decision, telling.made_by.without_opponent(), name);
  if (telling.with_facts) {
    head["facts"] = {{"roller", side_facts_json(side_facts(decision.position.roller))},
                     {"opponent", side_facts_json(side_facts(decision.position.opponent))}};
  }
  std::string line = line_of(head);
  ObjectWriter object = ObjectWriter::reopened(line);
  if (decision.roll) {
    write_plays(object, evaluation, telling.with_facts);
  } else {
    write_evaluated(object, evaluation, evaluation);
    if (evaluation.bear_off) object.json("bear_off", line_of(bear_off_json(evaluation)));
  }
  object.end();
  return line;
}

}  // namespace sixfold
