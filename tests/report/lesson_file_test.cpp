// Lesson files: what they may hold, and what is said of those that can't be right.
#include "report/json/lesson_file.h"

#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>
#include <set>
#include <sstream>

#include "base/input_error.h"
#include "report/json/request.h"
#include "rules/notation.h"
#include "study/lesson.h"

namespace sixfold {
namespace {

const std::string kPosition = R"("position":"24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5")";

LessonPlan parsed(const std::string& fields) {
  return parse_lesson("{" + fields + "}", "file", LessonPlan{}, own_match_equities());
}

std::string refusal(const std::string& fields) {
  try {
    (void)parsed(fields);
  } catch (const InputError& error) {
    return error.what();
  }
  return "accepted";
}

std::string text_of(const std::filesystem::path& path) {
  std::ifstream file(path);
  REQUIRE(file);
  return {std::istreambuf_iterator<char>(file), {}};
}

}  // namespace

TEST_CASE("A roll may come with plays to compare and the author's words") {
  const LessonPlan plan = parsed(
      kPosition + R"(,"rolls":["31",{"dice":"64","plays":["24/14","8/2 6/2"],"notes":"Run?"}])");
  REQUIRE(plan.rolls.size() == 2);
  CHECK(remarks_on(plan, plan.rolls[0]) == nullptr);
  const RollRemarks* const remarks = remarks_on(plan, plan.rolls[1]);
  REQUIRE(remarks != nullptr);
  CHECK(remarks->notes == "Run?");
  REQUIRE(remarks->plays.size() == 2);
  CHECK(play_text(plan.position, plan.rolls[1], remarks->plays[1]) == "8/2 6/2");
}

TEST_CASE("Faults inside a roll are refused with their path in the file") {
  using Catch::Contains;
  const auto with_roll = [](const std::string& roll) {
    return refusal(kPosition + ",\"rolls\":[\"31\"," + roll + "]");
  };
  CHECK_THAT(with_roll("7"), Contains("file, rolls[1]: not a roll"));
  CHECK_THAT(with_roll(R"({"dice":"70"})"), Contains("file, rolls[1].dice"));
  CHECK_THAT(with_roll(R"({"plays":["24/14"]})"), Contains("file, rolls[1].dice: missing"));
  CHECK_THAT(with_roll(R"({"dice":"13"})"), Contains("file, rolls[1]: a duplicate"));
  CHECK_THAT(with_roll(R"({"dice":"64","colour":"red"})"),
             Contains("file, rolls[1].colour: unknown field") && Contains("dice, plays, notes"));
  CHECK_THAT(with_roll(R"({"dice":"64","plays":["24/14","24/13"]})"),
             Contains("file, rolls[1].plays[1]") && Contains("not a legal play"));
  CHECK_THAT(with_roll(R"({"dice":"64","plays":["24/14","24/20 20/14"]})"),
             Contains("file, rolls[1].plays[1]: a duplicate"));
  CHECK_THAT(with_roll(R"({"dice":"64","notes":5})"), Contains("file, rolls[1].notes: not a text"));
}

TEST_CASE("A lesson may be about the double alone, but not without the cube") {
  const LessonPlan plan = parsed(kPosition + R"(,"double":true)");
  CHECK(plan.doubling);
  CHECK(plan.rolls.empty());
  using Catch::Contains;
  CHECK_THAT(refusal(kPosition + R"(,"double":true,"cube":"none")"),
             Contains("file, double: there is no cube"));
  CHECK_THAT(refusal(kPosition + R"(,"double":false,"cube":"centred")"),
             Contains("file, rolls: missing"));
  CHECK_THAT(refusal(kPosition + R"(,"double":"yes","cube":"centred")"),
             Contains("file, double: neither yes nor no"));
}

TEST_CASE("A lesson may say how well it is to be known and what is an error to its author") {
  const LessonPlan plan = parsed(kPosition + R"(,"rolls":["31"],"half_width":0,"most_trials":720,)"
                                             R"("confidence":0.9,"error":0.02,"blunder":0.1)");
  CHECK(plan.settings.half_width == 0.0);
  CHECK(plan.settings.most_trials == 720);
  CHECK(plan.settings.confidence == 0.9);
  CHECK(plan.grades.error == 0.02);
  CHECK(plan.grades.blunder == 0.1);
  using Catch::Contains;
  const auto with = [](const char* field) {
    return refusal(kPosition + R"(,"rolls":["31"],)" + field);
  };
  CHECK_THAT(with(R"("confidence":1)"), Contains("file, confidence: not a number in range"));
  CHECK_THAT(with(R"("half_width":-1)"), Contains("file, half_width") && Contains("0 to 1000"));
  CHECK_THAT(with(R"("error":0)"), Contains("file, error: not a positive number"));
}

TEST_CASE("A lesson's points may all be numbered from the roller's side") {
  const std::string rest = R"(,"rolls":["31"],"both_from_roller":true)";
  const LessonPlan plan = parsed(R"("position":"24x2 13x5 8x3 6x5 / 1x2 12x5 17x3 19x5")" + rest);
  CHECK(position_text(plan.position) == "24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5");
  CHECK_THAT(refusal(R"("after":"31: 8/5 6/5")" + rest), Catch::Contains("file, both_from_roller"));
}

TEST_CASE("What is not JSON is complained of with its line and column") {
  const auto complaint = [](const char* text) -> std::string {
    try {
      (void)parse_lesson(text, "file", LessonPlan{}, own_match_equities());
    } catch (const InputError& error) {
      return error.what();
    }
    return "accepted";
  };
  // The colon is missing in the second line, behind a blank.
  CHECK_THAT(complaint("{\"title\": \"x\",\n \"rolls\" [\"31\"]\n}"),
             Catch::Contains("file: not JSON at line 2, column 10"));
  CHECK_THAT(complaint("{\"title\" 1}"), Catch::Contains("file: not JSON at column 10"));
}

TEST_CASE("The schema of lesson files names the fields that are read") {
  const auto schema = nlohmann::json::parse(text_of(SIXFOLD_TOOLS "/schema/lesson_file.json"));
  const auto names = [](const nlohmann::json& properties) {
    std::set<std::string> all;
    for (const auto& [name, _] : properties.items()) all.insert(name);
    return all;
  };
  // A refusal of an unknown field lists the known ones.
  const auto known = [](const std::string& complaint) {
    std::set<std::string> all;
    std::istringstream list(complaint.substr(complaint.find("one of ") + 7));
    for (std::string name; std::getline(list >> std::ws, name, ',');) all.insert(name);
    return all;
  };
  CHECK(known(refusal("\"colour\":1")) == names(schema["properties"]));
  CHECK(known(refusal(kPosition + R"(,"rolls":[{"colour":1}])")) ==
        names(schema["properties"]["rolls"]["items"]["oneOf"][1]["properties"]));
}

TEST_CASE("The demo lessons are lessons") {
  int count = 0;
  for (const auto& entry : std::filesystem::directory_iterator(SIXFOLD_TOOLS "/demo")) {
    if (entry.path().extension() != ".json") continue;
    INFO(entry.path());
    const LessonPlan plan =
        parse_lesson(text_of(entry.path()), entry.path(), LessonPlan{}, own_match_equities());
    CHECK(!plan.title.empty());
    CHECK(!plan.notes.empty());
    ++count;
  }
  CHECK(count == 4);
}

TEST_CASE("The demo's night asks twelve questions, each with a title and a precision of its own") {
  std::istringstream night(text_of(SIXFOLD_TOOLS "/demo/night.jsonl"));
  std::set<std::string> ids;
  std::set<std::string> titles;
  for (std::string line; std::getline(night, line);) {
    INFO(line);
    std::string id;
    const Request request = parse_request(line, id);
    CHECK(ids.insert(id).second);
    CHECK(titles.insert(request.title).second);
    CHECK(request.position.empty() != request.after.empty());
    CHECK((request.half_width && *request.half_width > 0.0));
    CHECK(request.dice.has_value() != request.cube.has_value());
  }
  CHECK(ids.size() == 12);
}

}  // namespace sixfold
