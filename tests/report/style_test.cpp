// Colours of reports: in tables and boards, and nowhere else.
#include "report/text/style.h"

#include <catch2/catch.hpp>
#include <regex>
#include <string>

#include "report/test_telling.h"
#include "report/text/lesson_text.h"
#include "report/text/rollout_text.h"
#include "rollout/small_race.h"
#include "rules/notation.h"
#include "study/instruments_of.h"

namespace sixfold {
namespace {

constexpr TextStyle kColour{true};

std::string without_colour(const std::string& text) {
  return std::regex_replace(text, std::regex("\033\\[[0-9;]*m"), "");
}

int count(const std::string& text, const std::string& part) {
  int found = 0;
  for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) {
    ++found;
  }
  return found;
}

Decision decision() {
  return {parse_position("6 5 3 / 6 4 2", 3), parse_roll("21"), money_score()};
}

}  // namespace

TEST_CASE("In colour a rollout's report has its verdicts and checkers painted, and is the same") {
  const SmallRace race(decision().position, 0.1);
  const RolledDecision rolled =
      roll_out_decision(instruments_of(race), decision(), settings_of(360), {});
  const std::string plain = rollout_text(rolled, kTelling);
  const std::string coloured = rollout_text(rolled, kTelling, kColour);
  CHECK(plain.find('\033') == std::string::npos);
  CHECK(without_colour(coloured) == plain);
  CHECK(count(coloured, "\033[32mbest\033[0m\n") == 1);
  int verdicts = 0;
  for (const char* verdict : {"32mbest", "36mopen", "31mworse"}) {
    verdicts += count(coloured, verdict);
  }
  CHECK(verdicts == static_cast<int>(rolled.result.plays.size()));
  // Three of the roller's and one that says whose is which; the opponent's the same.
  CHECK(count(coloured, "\033[1;35m●\033[0m") == 4);
  CHECK(count(coloured, "\033[36m○\033[0m") == 4);
}

TEST_CASE("In colour the author's words stay as they are") {
  LessonPlan plan;
  plan.title = "● 5 open";
  plan.notes = "The cost is 0.5 worse";
  plan.position = decision().position;
  plan.rolls = {*decision().roll};
  plan.scores = {money_score()};
  plan.cube = AskedCube(std::nullopt);
  plan.settings = settings_of(36);
  const SmallRace race(plan.position, 0.1);
  const Lesson lesson = make_lesson([&](const Decision&) { return instruments_of(race); }, plan,
                                    [](const LessonPart&) {});
  const std::string coloured = lesson_text(lesson, kLessonTelling, kColour);
  CHECK(without_colour(coloured) == lesson_text(lesson, kLessonTelling));
  CHECK_THAT(coloured, Catch::StartsWith("● 5 open\nThe cost is 0.5 worse\n"));
  CHECK_THAT(coloured, Catch::Contains("\033[1;35m●"));
  CHECK(count(coloured, "mopen") + count(coloured, "mworse") == 1);
}

TEST_CASE("A grade stands in place of the verdict that it implies") {
  const SmallRace race(decision().position, 0.1);
  RolledDecision rolled =
      roll_out_decision(instruments_of(race), decision(), settings_of(36), {0.02, 0.2});
  RolledPlay& second = rolled.result.plays.at(1);
  second.cost = {0.1, 0.01, 0.02, 100};
  CHECK(verdict_cell(rolled, 1, {}) == "error");
  second.at_least = 0.3;
  CHECK(verdict_cell(rolled, 1, {}) == "blunder");
  second.at_least = 0.01;
  CHECK(verdict_cell(rolled, 1, kColour) == "\033[31mworse\033[0m");
  CHECK(verdict_cell(rolled, 0, {}) == "best");
}

}  // namespace sixfold
