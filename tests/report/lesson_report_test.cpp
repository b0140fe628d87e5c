// Lessons and rollouts, from the file that asks for them to what is said of them.
#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "base/input_error.h"
#include "evaluator/network_file.h"
#include "report/json/json_report.h"
#include "report/json/lesson_file.h"
#include "report/test_telling.h"
#include "report/text/lesson_text.h"
#include "rules/notation.h"
#include "rules/start.h"
#include "study/samples.h"

namespace sixfold {
namespace {

const char* kStart = "24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5";

}  // namespace

TEST_CASE("A lesson that cannot be right is refused with the path inside the file") {
  const auto refusal = [](const std::string& fields) {
    try {
      (void)parse_lesson("{" + fields + "}", "file", few_trials(), own_match_equities());
    } catch (const InputError& error) {
      return std::string(error.what());
    }
    return std::string("accepted");
  };
  const std::string position = std::string("\"position\":\"") + kStart + "\"";
  using Catch::Contains;
  CHECK_THAT(refusal(position), Contains("file, rolls"));
  CHECK_THAT(refusal("\"rolls\":[\"31\"]"), Contains("file, position"));
  CHECK_THAT(refusal(position + ",\"rolls\":[\"31\",\"70\"]"), Contains("file, rolls[1]"));
  CHECK_THAT(refusal(position + ",\"rolls\":[\"31\",\"13\"]"), Contains("duplicate"));
  CHECK_THAT(refusal(position + ",\"rolls\":[]"), Contains("not a list"));
  CHECK_THAT(refusal(position + ",\"rolls\":[\"31\"],\"scores\":[\"x\"]"),
             Contains("file, scores[0]"));
  CHECK_THAT(refusal(position + ",\"rolls\":[\"31\"],\"trials\":-1"), Contains("file, trials"));
  CHECK_THAT(refusal(position + ",\"rolls\":[\"31\"],\"color\":1"), Contains("unknown field"));
  CHECK_THAT(refusal("\"position\":\"6 / \",\"rolls\":[\"31\"]"), Contains("game is over"));
  CHECK_THROWS_WITH((void)parse_lesson("{\"title\"", "file", few_trials(), own_match_equities()),
                    Contains("not JSON at column 9"));
}

TEST_CASE("A lesson file's every roll at every score is a cell of the JSON") {
  const LessonPlan plan = parse_lesson(
      std::string("{\"title\":\"t\",\"position\":\"") + kStart + "\",\"rolls\":[\"31\",\"64\"]}",
      "file", few_trials(), own_match_equities());
  std::size_t started = 0;
  const Lesson lesson =
      make_lesson([&](const Decision&) { return instruments_of(standard()); }, plan,
                  [&](const LessonPart& part) { CHECK(part.number == started++); });
  CHECK(lesson.cells.size() == 4);
  const auto json = nlohmann::json::parse(lesson_json(lesson, kLessonTelling));
  REQUIRE(json["cells"].size() == 4);
  CHECK(json["cells"][1]["score"] == "gammon-go");
  CHECK(json["cells"][2]["dice"] == "64");
}

TEST_CASE("The seconds of a lesson's cells and planes are those that the caller measured") {
  LessonPlan plan = few_trials();
  plan.position = start_position();
  plan.rolls = {make_roll(3, 1)};
  plan.flips = plan.rolls;
  plan.flip_trials = 36;
  const Lesson lesson = make_lesson([&](const Decision&) { return instruments_of(standard()); },
                                    plan, [](const LessonPart&) {});
  const LessonTelling telling{kMadeBy, 9.0, {1.5, 2.5}, {4.5}};
  const auto json = nlohmann::json::parse(lesson_json(lesson, telling));
  REQUIRE(json["cells"].size() == 2);
  CHECK(json["cells"][0]["seconds"] == 1.5);
  CHECK(json["cells"][1]["seconds"] == 2.5);
  REQUIRE(json["flips"].size() == 1);
  CHECK(json["flips"][0]["seconds"] == 4.5);
  CHECK_THAT(lesson_text(lesson, telling),
             Catch::Contains("4.5 seconds") || Catch::Contains("4.5\nseconds"));
}

TEST_CASE("A rollout's JSON is consistent with itself") {
  RolloutSettings settings = few_trials().settings;
  const RolledDecision rolled = roll_out_decision(
      instruments_of(standard()), {start_position(), make_roll(3, 1), money_score()}, settings, {});
  const auto json = nlohmann::json::parse(rollout_json(rolled, kTelling, {"\"a\""}));
  CHECK(json["id"] == "a");
  REQUIRE(json["plays"].size() == 16);
  double best_sum = 0.0;
  for (const auto& play : json["plays"]) {
    double sum = 0.0;
    for (const auto& [name, outcome] : play["outcomes"].items()) {
      sum += outcome["mean"].get<double>();
      CHECK(outcome["mean"].get<double>() >= 0.0);
    }
    CHECK(sum == Approx(1.0).margin(1e-6));
    best_sum += play["best_probability"].get<double>();
    const double difference =
        json["plays"][0]["equity"]["mean"].get<double>() - play["equity"]["mean"].get<double>();
    CHECK(play["cost"]["mean"].get<double>() == Approx(difference).margin(1e-9));
  }
  CHECK(best_sum == Approx(1.0).margin(1e-9));
}

TEST_CASE("A lesson's summary is no more certain than the intervals") {
  LessonPlan plan = few_trials();
  plan.position = start_position();
  plan.rolls = {make_roll(3, 1)};
  Lesson lesson = make_lesson([&](const Decision&) { return instruments_of(standard()); }, plan,
                              [](const LessonPart&) {});
  REQUIRE(lesson.cells.size() == 2);
  const auto text_with = [&](const Estimate& first, const Estimate& second) {
    lesson.cells[0].result.plays[1].cost = first;
    lesson.cells[1].result.plays[1].cost = second;
    return lesson_text(lesson, kLessonTelling);
  };
  using Catch::Contains;
  CHECK_THAT(text_with(cost(0.05, 0.01), cost(0.05, 0.01)), !Contains("Not settled"));
  const std::string open = text_with(cost(0.05, 0.01), cost(0.01, 0.02));
  CHECK_THAT(open, Contains("Not settled") && Contains("gammon-go."));
  CHECK_THAT(open, !Contains("money, gammon-go."));
}

}  // namespace sixfold
