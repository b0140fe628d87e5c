#include "report/json/json_path.h"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "report/json/json_report.h"
#include "report/test_telling.h"
#include "rollout/small_race.h"
#include "rules/notation.h"
#include "study/instruments_of.h"

namespace sixfold {
namespace {

using Json = nlohmann::json;

}  // namespace

TEST_CASE("A path is a JSON pointer, whatever the names of fields") {
  CHECK(JsonPath().pointer().empty());
  CHECK((JsonPath() / "cells" / 12 / "cost").pointer() == "/cells/12/cost");
  const Json json{{"a/b", {{"~1", {0.5, 0.25}}}}};
  const JsonPath path = JsonPath() / "a/b" / "~1" / 1;
  CHECK(json.at(Json::json_pointer(path.pointer())) == 0.25);
  CHECK(path.pointer() == (Json::json_pointer() / "a/b" / "~1" / 1).to_string());
}

TEST_CASE("Places in a lesson's JSON are where its writer puts them") {
  LessonPlan plan;
  plan.position = parse_position("6 5 3 / 6 4 2", 3);
  plan.rolls = {parse_roll("21"), parse_roll("43")};
  plan.scores = {money_score(), parse_score("gammon-save", own_match_equities())};
  plan.cube = AskedCube(Cube{});
  plan.doubling = true;
  plan.flips = {plan.rolls[0]};
  plan.flip_trials = 36;
  plan.settings = settings_of(36);
  const SmallRace race(plan.position, 0.1);
  const Lesson lesson = make_lesson([&](const Decision&) { return instruments_of(race); }, plan,
                                    [](const LessonPart&) {});
  const Json json = Json::parse(lesson_json(lesson, kLessonTelling));
  const auto at = [&](const JsonPath& path) {
    return json.at(Json::json_pointer(path.pointer())).get<double>();
  };
  REQUIRE(lesson.doubles.size() == 2);
  CHECK(at(double_path(1) / "no_double") == lesson.doubles[1].equities.no_double);
  REQUIRE(lesson.cells.size() == 4);
  CHECK(at(play_path(2, 1) / "cost" / "mean") == lesson.cells[2].result.plays[1].cost.mean);
  REQUIRE(lesson.flips.size() == 1);
  CHECK(at(flip_check_path(0, 2) / "direct" / "half_width") ==
        lesson.flips[0].checks[2].direct.half_width);
}

}  // namespace sixfold
