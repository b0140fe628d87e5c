#include "report/json/json_parts.h"
#include "report/json/json_report.h"
#include "rules/notation.h"

namespace sixfold {

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
    json["doubles"].push_back(cube_object(study));
  }
  json["cells"] = Json::array();
  for (const RolledDecision& cell : lesson.cells) json["cells"].push_back(rollout_object(cell));
  for (const FlipStudy& flip : lesson.flips) json["flips"].push_back(flip_object(flip));
  return line_of(json);
}

}  // namespace sixfold
