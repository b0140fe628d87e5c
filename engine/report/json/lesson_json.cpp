#include "report/json/json_parts.h"
#include "report/json/json_report.h"
#include "rules/notation.h"

namespace sixfold {

std::string lesson_json(const Lesson& lesson, const LessonTelling& telling) {
  Json json;
  json["schema"] = "sixfold.lesson/3";
  json["title"] = lesson.plan.title;
  json["notes"] = lesson.plan.notes;
  json["position"] = position_text(lesson.plan.position);
  json["rolls"] = Json::array();
  for (const Roll roll : lesson.plan.rolls) json["rolls"].push_back(roll_text(roll));
  json["scores"] = Json::array();
  for (const Score& score : lesson.plan.scores) json["scores"].push_back(score.name);
  add_cube(json, cube_of(lesson.plan), lesson.plan.money);
  add_nets(json, telling.made_by);
  add_warnings(json, lesson.plan.position);
  json["seed"] = lesson.plan.settings.seed;
  json["settings"] = settings_json(lesson.plan.settings);
  if (lesson.stopped) json["interrupted"] = true;
  for (const RollRemarks& remarks : lesson.plan.remarks) {
    Json entry{{"dice", roll_text(remarks.roll)}, {"notes", remarks.notes}};
    for (const PlayKey play : remarks.plays) {
      entry["plays"].push_back(play_text(lesson.plan.position, remarks.roll, play));
    }
    json["remarks"].push_back(std::move(entry));
  }
  for (const CubeStudy& study : lesson.doubles) {
    json["doubles"].push_back(cube_object(study, telling.made_by));
  }
  json["cells"] = Json::array();
  for (std::size_t i = 0; i < lesson.cells.size(); ++i) {
    json["cells"].push_back(rollout_object(lesson.cells[i], telling.of_cell(i)));
  }
  for (std::size_t i = 0; i < lesson.flips.size(); ++i) {
    json["flips"].push_back(flip_object(lesson.flips[i], telling.of_flip(i)));
  }
  return line_of(json);
}

}  // namespace sixfold
