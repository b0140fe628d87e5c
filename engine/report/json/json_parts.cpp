#include "report/json/json_parts.h"

#include <array>

#include "report/words/names.h"
#include "report/words/warnings.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

/// Of computed values as numbers, of estimates as objects.
template <typename Outcomes, typename ToJson>
Json outcomes_by(const Outcomes& outcomes, ToJson to_json) {
  Json json;
  for (std::size_t i = 0; i < kOutcomeCount; ++i) json[kOutcomeFields[i]] = to_json(outcomes[i]);
  return json;
}

}  // namespace

std::string line_of(const Json& json) {
  return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

Json mean_json(const Estimate& estimate) {
  return {{"mean", estimate.mean}, {"half_width", estimate.half_width}};
}

Json by_roll_json(const std::array<Estimate, kRollCount>& parts) {
  Json json = Json::array();
  for (std::size_t r = 0; r < kRollCount; ++r) {
    json.push_back({{"dice", roll_text(kRolls[r])}, {"share", mean_json(parts[r])}});
  }
  return json;
}

Json outcomes_json(const OutcomeDistribution& outcomes) {
  return outcomes_by(outcomes, [](double share) { return share; });
}

Json outcomes_json(const std::array<Estimate, kOutcomeCount>& outcomes) {
  return outcomes_by(outcomes, mean_json);
}

void add_cube(Json& json, const std::optional<Cube>& cube, const MoneyRules& money) {
  constexpr std::array kOwners{"centred", "roller", "opponent"};
  json["cube"] = "none";
  if (!cube) return;
  json["cube"] =
      Json{{"value", cube->value}, {"owner", kOwners[static_cast<std::size_t>(cube->owner)]}};
  if (money.jacoby) json["jacoby"] = true;
  if (money.beavers) json["beavers"] = true;
}

void add_warnings(Json& json, const Position& position) {
  const std::vector<std::string> warnings = position_warnings(position);
  if (!warnings.empty()) json["warnings"] = warnings;
}

void add_nets(Json& json, const Provenance& made_by) {
  json["net"] = made_by.net;
  if (!made_by.opponent_net.empty()) json["opponent_net"] = made_by.opponent_net;
}

Json decision_head(const char* schema, const Decision& decision, const Provenance& made_by,
                   const CallersName& name) {
  Json json;
  json["schema"] = schema;
  json["id"] = Json::parse(name.id);
  if (!name.title.empty()) json["title"] = name.title;
  json["position"] = position_text(decision.position);
  if (decision.roll) json["dice"] = roll_text(*decision.roll);
  json["score"] = decision.score.name;
  add_cube(json, decision.cube, decision.money);
  add_nets(json, made_by);
  add_warnings(json, decision.position);
  return json;
}

Json play_head(const Decision& decision, std::size_t rank, PlayKey play) {
  Json json;
  json["rank"] = rank;
  json["play"] = play_text(decision.position, *decision.roll, play);
  json["result"] = position_text(position_after(decision.position, play));
  return json;
}

void add_chance(Json& json, const Decision& decision, const Estimate& equity) {
  if (const auto chance = match_chance(decision, equity)) {
    json["match_winning_chance"] = mean_json(*chance);
  }
}

void add_ends(Json& json, const RolledCube& cube, int value) {
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

Json settings_json(const RolloutSettings& settings) {
  Json json;
  json["trials"] = settings.trials;
  json["half_width"] = settings.half_width;
  if (settings.half_width > 0.0) json["most_trials"] = settings.most_trials;
  json["confidence"] = settings.confidence;
  json["lookahead"] = settings.lookahead;
  json["truncate"] = settings.truncate;
  json["plain"] = settings.is_plain();
  json["stratified"] = settings.stratified;
  constexpr std::array kSources{"none", "full", "net"};
  json["luck"] = kSources[static_cast<std::size_t>(settings.luck)];
  return json;
}

}  // namespace sixfold
