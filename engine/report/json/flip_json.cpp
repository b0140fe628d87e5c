#include "report/json/json_parts.h"
#include "report/json/json_report.h"
#include "report/words/flip_words.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

Json point_json(const FlipStudy& study, const FlipPoint& point) {
  return {{"prices", {{"roller", point.prices.own}, {"opponent", point.prices.opponents}}},
          {"best", play_name(study, point.best)},
          {"second", play_name(study, point.second)},
          {"lead", mean_json(point.lead)}};
}

}  // namespace

Json flip_object(const FlipStudy& study, const Telling& telling) {
  Json json;
  json["schema"] = "sixfold.flip/2";
  json["position"] = position_text(study.position);
  json["dice"] = roll_text(study.roll);
  add_cube(json, std::nullopt, {});
  add_nets(json, telling.made_by);
  add_warnings(json, study.position);
  json["seed"] = study.settings.seed;
  json["settings"] = settings_json(study.settings);
  json["looked_at"] = study.looked_at;
  for (std::size_t i = 0; i < study.flip.plays().size(); ++i) {
    json["plays"].push_back(play_name(study, i));
  }
  for (int j = 0; j <= Flip::kSteps; ++j) {
    for (int i = 0; i <= Flip::kSteps; ++i) {
      json["plane"].push_back(
          point_json(study, study.flip.at({static_cast<double>(i) / Flip::kSteps,
                                           static_cast<double>(j) / Flip::kSteps})));
    }
  }
  for (const auto* scores : {&study.named, &study.away}) {
    for (const auto& [name, prices] : *scores) {
      Json point = point_json(study, study.flip.at(prices));
      point["score"] = name;
      json["scores"].push_back(point);
    }
  }
  for (const bool own_price : {true, false}) {
    const BreakEven found = study.flip.break_even(0, 1, own_price);
    Json entry;
    entry["of"] = own_price ? "roller" : "opponent";
    if (found.price) entry["price"] = *found.price;
    entry["open"] = Json::array();
    for (const BreakEven::Stretch& stretch : found.open) {
      entry["open"].push_back({{"low", stretch.low}, {"high", stretch.high}});
    }
    json["break_even"].push_back(entry);
  }
  for (const FlipCheck& check : study.checks) {
    Json entry = point_json(study, check.plane);
    entry["direct"] = mean_json(check.direct);
    json["checks"].push_back(entry);
  }
  json["seconds"] = telling.seconds;
  return json;
}

std::string flip_json(const FlipStudy& study, const Telling& telling) {
  return line_of(flip_object(study, telling));
}

}  // namespace sixfold
