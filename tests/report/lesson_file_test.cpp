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

TEST_CASE("A lesson may be about the double alone, and needs a cube for it") {
  const LessonPlan plan = parsed(kPosition + R"(,"double":true,"cube":"centred")");
  CHECK(plan.doubling);
  CHECK(plan.rolls.empty());
  using Catch::Contains;
  CHECK_THAT(refusal(kPosition + R"(,"double":true)"), Contains("file, double: there is no cube"));
  CHECK_THAT(refusal(kPosition + R"(,"double":false,"cube":"centred")"),
             Contains("file, rolls: missing"));
  CHECK_THAT(refusal(kPosition + R"(,"double":"yes","cube":"centred")"),
             Contains("file, double: neither yes nor no"));
}

TEST_CASE("The schema of lesson files names the fields that are read") {
  const auto schema = nlohmann::json::parse(text_of(SIXFOLD_TOOLS "/lesson.schema.json"));
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
    INFO(entry.path());
    const LessonPlan plan =
        parse_lesson(text_of(entry.path()), entry.path(), LessonPlan{}, own_match_equities());
    CHECK(!plan.title.empty());
    CHECK(!plan.notes.empty());
    ++count;
  }
  CHECK(count == 3);
}

}  // namespace sixfold
