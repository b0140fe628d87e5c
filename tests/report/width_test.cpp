// Reports for people fit on 80 columns.
#include <algorithm>
#include <atomic>
#include <catch2/catch.hpp>
#include <filesystem>
#include <sstream>

#include "evaluator/network_file.h"
#include "report/json/lesson_file.h"
#include "report/test_telling.h"
#include "report/text/board_text.h"
#include "report/text/cube_text.h"
#include "report/text/evaluation_text.h"
#include "report/text/lesson_text.h"
#include "report/text/rollout_text.h"
#include "rollout/small_race.h"
#include "rules/notation.h"
#include "study/instruments_of.h"
#include "study/lesson.h"

namespace sixfold {
namespace {

/// A line's code points: all bytes but the second and later ones of UTF-8.
std::size_t columns_of(const std::string& line) {
  return static_cast<std::size_t>(std::count_if(line.begin(), line.end(), [](char c) {
    return (static_cast<unsigned char>(c) & 0xc0u) != 0x80u;
  }));
}

void check_width(const std::string& text) {
  std::istringstream lines(text);
  std::string line;
  int count = 0;
  while (std::getline(lines, line)) {
    ++count;
    INFO(line);
    CHECK(columns_of(line) <= 80);
  }
  CHECK(count > 5);
}

NetworkEvaluator shipped_evaluator() {
  return NetworkEvaluator(
      load_network(std::filesystem::path(SIXFOLD_NETS) / "standard.safetensors").networks);
}

/// The words of a text with one blank between, so that it does not matter where lines end.
std::string words_of(const std::string& text) {
  std::istringstream in(text);
  std::string words;
  for (std::string word; in >> word;) words += (words.empty() ? "" : " ") + word;
  return words;
}

Decision opening(const char* dice, const char* score) {
  Decision decision{parse_position("24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5"), std::nullopt,
                    parse_score(score, own_match_equities())};
  if (dice != nullptr) decision.roll = parse_roll(dice);
  return decision;
}

LessonPlan small_plan() {
  LessonPlan plan;
  plan.position = parse_position("6 5 3 / 6 4 2", 3);
  plan.rolls = {parse_roll("21"), parse_roll("43")};
  plan.scores = {money_score(), parse_score("gammon-save", own_match_equities())};
  plan.cube = AskedCube(std::nullopt);
  plan.settings = settings_of(36);
  return plan;
}

}  // namespace

TEST_CASE("Static values of an opening roll fit on 80 columns") {
  const NetworkEvaluator evaluator = shipped_evaluator();
  check_width(evaluation_text(evaluate_decision(evaluator, opening("31", "money")), kTelling));
}

TEST_CASE("Static values with the cube fit on 80 columns, the cubeless ones beside them") {
  const NetworkEvaluator evaluator = shipped_evaluator();
  for (const char* const dice : {"31", static_cast<const char*>(nullptr)}) {
    Decision decision = opening(dice, "money");
    decision.cube = Cube{};
    const std::string text = evaluation_text(evaluate_decision(evaluator, decision), kTelling);
    check_width(text);
    CHECK_THAT(text, Catch::Contains(dice == nullptr ? "Cubeless  +" : " cost cubeless "));
    CHECK_THAT(words_of(text), Catch::Contains("with the cube, by the cube model"));
  }
}

TEST_CASE("Static values before the dice fit on 80 columns") {
  const NetworkEvaluator evaluator = shipped_evaluator();
  check_width(evaluation_text(evaluate_decision(evaluator, opening(nullptr, "dmp")), kTelling));
}

TEST_CASE("What to do with the cube fits on 80 columns") {
  const NetworkEvaluator evaluator = shipped_evaluator();
  Decision decision = opening(nullptr, "9-away/7-away");
  for (const CubeOwner owner : {CubeOwner::kCentred, CubeOwner::kRoller, CubeOwner::kOpponent}) {
    decision.cube = Cube{4, owner};
    check_width(cube_study_text(study_cube(evaluator, decision, {}), kMadeBy));
  }
}

TEST_CASE("Every report for people has the board below the position") {
  const Decision decision{parse_position("6 5 3 / 6 4 2", 3), parse_roll("21"), money_score()};
  const std::string board = board_text(decision.position, decision.roll, std::nullopt);
  const SmallRace race(decision.position);
  CHECK_THAT(evaluation_text(evaluate_decision(race, decision), kTelling), Catch::Contains(board));
  const std::string rollout = rollout_text(
      roll_out_decision(instruments_of(race), decision, settings_of(36), {}), kTelling);
  CHECK_THAT(rollout, Catch::Contains(board) && Catch::Contains("a block for every 2 in 100"));
  const LessonPlan plan = small_plan();
  CHECK_THAT(lesson_text(make_lesson([&](const Decision&) { return instruments_of(race); }, plan,
                                     [](const LessonPart&) {}),
                         kLessonTelling),
             Catch::Contains(board_text(plan.position, std::nullopt, std::nullopt)));
}

TEST_CASE("A rollout of an opening roll fits on 80 columns") {
  const NetworkEvaluator evaluator = shipped_evaluator();
  RolloutSettings settings = settings_of(36);
  settings.truncate = 1;
  check_width(rollout_text(
      roll_out_decision(instruments_of(evaluator), opening("31", "gammon-go"), settings, {}),
      kTelling));
}

TEST_CASE("The settings of a long looking rollout fit on 80 columns") {
  const Decision decision{parse_position("6 5 3 / 6 4 2", 3), parse_roll("21"), money_score()};
  const SmallRace race(decision.position);
  RolloutSettings settings = settings_of(1296, 123456);
  settings.lookahead = 1;
  settings.truncate = 11;
  check_width(
      rollout_text(roll_out_decision(instruments_of(race), decision, settings, {}), kTelling));
}

TEST_CASE("A lesson fits on 80 columns, whether the best play changes with the score or not") {
  const NetworkEvaluator evaluator = shipped_evaluator();
  LessonPlan plan;
  plan.position = opening(nullptr, "money").position;
  plan.rolls = {parse_roll("31"), parse_roll("22"), parse_roll("64")};
  for (const char* score : {"money", "dmp", "gammon-go", "gammon-save"}) {
    plan.scores.push_back(parse_score(score, own_match_equities()));
  }
  plan.settings = settings_of(36);
  plan.settings.truncate = 1;
  check_width(lesson_text(make_lesson([&](const Decision&) { return instruments_of(evaluator); },
                                      plan, [](const LessonPart&) {}),
                          kLessonTelling));
}

TEST_CASE("A stopped lesson keeps the cells that are done and says so") {
  const LessonPlan plan = small_plan();
  const SmallRace race(plan.position);
  std::atomic<bool> stop{false};
  ThreadRunner runner(1, {&stop});
  const auto stop_at = [&](std::size_t last) {
    return make_lesson([&](const Decision&) { return run_by(runner, race); }, plan,
                       [&, last](const LessonPart& part) { stop = part.number >= last; });
  };
  const Lesson half = stop_at(2);
  CHECK(half.cells.size() == 2);
  CHECK(half.cells[1].decision.score.name == "gammon-save");
  CHECK_THAT(words_of(lesson_text(half, kLessonTelling)), Catch::Contains("Stopped early"));
  CHECK_THAT(words_of(lesson_text(stop_at(0), kLessonTelling)),
             Catch::Contains("Stopped before the first roll"));
  const Lesson whole = stop_at(4);
  CHECK(whole.cells.size() == 4);
  CHECK_THAT(lesson_text(whole, kLessonTelling), !Catch::Contains("Stopped"));
}

TEST_CASE("A lesson's text names title, notes, position, rolls, scores and net") {
  LessonPlan plan = small_plan();
  plan.title = "Bearing off three";
  plan.notes = "Mind the gammon.";
  const SmallRace race(plan.position);
  const std::string text =
      words_of(lesson_text(make_lesson([&](const Decision&) { return instruments_of(race); }, plan,
                                       [](const LessonPart&) {}),
                           kLessonTelling));
  for (const char* part : {"Bearing off three", "Mind the gammon.", "6 5 3 / 6 4 2", "Roll 21",
                           "Roll 43", "money", "gammon-save", kMadeBy.net.c_str(), "seed 1"}) {
    CHECK_THAT(text, Catch::Contains(part));
  }
}

TEST_CASE("A lesson read from JSON takes every field, and defaults for what it leaves out") {
  LessonPlan defaults = small_plan();
  defaults.settings.confidence = 0.9;
  const LessonPlan plan = parse_lesson(
      R"({"title":"T","notes":"N","after":"31: 8/5 6/5","rolls":["64","11"],"scores":["dmp"],)"
      R"("trials":720,"half_width":0.004,"seed":42})",
      "lesson", defaults, own_match_equities());
  CHECK(plan.title == "T");
  CHECK(plan.notes == "N");
  CHECK(position_text(plan.position) == "24x2 13x5 8x3 6x5 / 24x2 13x5 8x2 6x4 5x2");
  CHECK(plan.rolls == std::vector<Roll>{parse_roll("64"), parse_roll("11")});
  CHECK(plan.scores == std::vector<Score>{parse_score("dmp", own_match_equities())});
  CHECK(plan.settings.trials == 720);
  CHECK(plan.settings.half_width == 0.004);
  CHECK(plan.settings.seed == 42);
  CHECK(plan.settings.confidence == 0.9);
  const LessonPlan bare = parse_lesson(R"({"position":"6 / 5","checkers":2,"rolls":["21"]})",
                                       "lesson", defaults, own_match_equities());
  CHECK(bare.scores == defaults.scores);
  CHECK(bare.settings.trials == defaults.settings.trials);
  CHECK(bare.position.roller.borne_off() == 1);
}

TEST_CASE("Lessons and rollouts with the cube fit too") {
  const NetworkEvaluator evaluator = shipped_evaluator();
  LessonPlan plan = small_plan();
  plan.cube = AskedCube(Cube{});
  plan.scores = {money_score(), parse_score("3-away/5-away", own_match_equities()),
                 parse_score("25-away/1-away post-crawford", own_match_equities())};
  plan.flips = plan.rolls;
  plan.flip_trials = 36;
  plan.settings.trials = 36;
  const Lesson lesson = make_lesson([&](const Decision&) { return instruments_of(evaluator); },
                                    plan, [](const LessonPart&) {});
  CHECK_FALSE(lesson.flips.empty());
  check_width(lesson_text(lesson, kLessonTelling));
  for (const RolledDecision& cell : lesson.cells) check_width(rollout_text(cell, kTelling));
}

TEST_CASE("A lesson says at which of its scores there is no cube") {
  LessonPlan plan = small_plan();
  plan.cube = AskedCube();
  const SmallRace race(plan.position, 0.1);
  const Lesson lesson = make_lesson([&](const Decision&) { return instruments_of(race); }, plan,
                                    [](const LessonPart&) {});
  CHECK(lesson.cells[0].decision.cube == Cube{});
  CHECK_FALSE(lesson.cells[1].decision.cube);
  const std::string text = lesson_text(lesson, kLessonTelling);
  check_width(text);
  CHECK_THAT(words_of(text),
             Catch::Contains("Cube centred; none at gammon-save, where nobody may double") &&
                 Catch::Contains("Cubeless equity at money: "));
  CHECK_THAT(rollout_text(lesson.cells[1], kTelling),
             Catch::Contains("Cube      none: nobody may double at this score\n"));
}

TEST_CASE("Doubles whose plays are long fit at a match score too, and with grades") {
  const NetworkEvaluator evaluator = shipped_evaluator();
  Decision decision = opening("22", "3-away/5-away");
  decision.position = parse_position("24x2 13x5 8x3 6x5 / 22 20 18 13x4 8x3 6x5");
  RolloutSettings settings = settings_of(36);
  settings.truncate = 1;
  for (const std::optional<Cube>& cube : {std::optional<Cube>(), std::optional(Cube{})}) {
    decision.cube = cube;
    check_width(evaluation_text(evaluate_decision(evaluator, decision), kTelling));
    RolledDecision rolled =
        roll_out_decision(instruments_of(evaluator), decision, settings, {0.0001, 0.001});
    check_width(rollout_text(rolled, kTelling));
  }
}

TEST_CASE("The text tells of a play that was set aside by its bound alone") {
  const Decision decision{parse_position("6 5 3 / 6 4 2", 3), parse_roll("21"), money_score()};
  const SmallRace race(decision.position, 0.1);
  RolledDecision rolled = roll_out_decision(instruments_of(race), decision, settings_of(36), {});
  REQUIRE(rolled.result.plays.size() > 2);
  rolled.result.plays[1].at_least = 0.08379;
  const std::string text = rollout_text(rolled, kTelling);
  check_width(text);
  std::istringstream lines(text);
  const std::string aside =
      play_text(decision.position, *decision.roll, rolled.result.plays[1].play);
  int told = 0;
  for (std::string line; std::getline(lines, line);) {
    if (line.find(" 2  " + aside) == std::string::npos) continue;
    ++told;
    CHECK_THAT(line, Catch::EndsWith("behind by over 0.0837                   worse"));
  }
  // In the table of verdicts alone: not among the outcomes, nor the bars.
  CHECK(told == 1);
  CHECK_THAT(words_of(text), Catch::Contains("Plays clearly behind were set aside"));
  // The ledger is of the next play that is told in full.
  CHECK_THAT(text, Catch::Contains(" gains on " + play_text(decision.position, *decision.roll,
                                                            rolled.result.plays[2].play)));
  for (RolledPlay& play : rolled.result.plays) {
    if (&play != &rolled.result.plays.front()) play.at_least = 0.05;
  }
  CHECK_THAT(rollout_text(rolled, kTelling), !Catch::Contains("gains on"));
}

TEST_CASE("Every report says whether the cube is in play") {
  const Decision decision{parse_position("6 5 3 / 6 4 2", 3), parse_roll("21"), money_score()};
  const SmallRace race(decision.position);
  const std::string left_out = "Cube      left out\n";
  CHECK_THAT(evaluation_text(evaluate_decision(race, decision), kTelling),
             Catch::Contains(left_out));
  Decision with_cube = decision;
  with_cube.cube = Cube{};
  for (const Decision& each : {decision, with_cube}) {
    CHECK_THAT(
        rollout_text(roll_out_decision(instruments_of(race), each, settings_of(36), {}), kTelling),
        Catch::Contains(each.cube ? "Cube      centred\n" : left_out));
  }
  LessonPlan plan = small_plan();
  CHECK_THAT(lesson_text(make_lesson([&](const Decision&) { return instruments_of(race); }, plan,
                                     [](const LessonPart&) {}),
                         kLessonTelling),
             Catch::Contains(left_out));
}

TEST_CASE("Chances to win the match stand with their intervals wherever the score is of a match") {
  Decision decision{parse_position("6 5 3 / 6 4 2", 3), parse_roll("21"),
                    parse_score("dmp", own_match_equities())};
  const SmallRace race(decision.position);
  RolledDecision rolled = roll_out_decision(instruments_of(race), decision, settings_of(36), {});
  // Half of the equity above one half.
  rolled.result.plays.front().equity = {0.1234, 0.01, 0.02, 6};
  const std::string text = rollout_text(rolled, kTelling);
  CHECK_THAT(text, Catch::Contains("bg   match\n") && Catch::Contains("  56.17%\n") &&
                       Catch::Contains("  ± 1.00\n"));
  decision.score = money_score();
  CHECK_THAT(rollout_text(roll_out_decision(instruments_of(race), decision, settings_of(36), {}),
                          kTelling),
             !Catch::Contains("match"));
}

}  // namespace sixfold
