#include <algorithm>
#include <catch2/catch.hpp>

#include "evaluator/network_file.h"
#include "rules/start.h"
#include "study/lesson.h"
#include "study/samples.h"

namespace sixfold {
namespace {

RolledPlay costing(double mean, double half_width) {
  RolledPlay play;
  play.cost = cost(mean, half_width);
  return play;
}

RolledPlay behind_by(double at_least) {
  RolledPlay play = costing(at_least + 1.0, 2.0);
  play.at_least = at_least;
  return play;
}

}  // namespace

TEST_CASE("A verdict follows from the interval of the cost, or from its bound") {
  CHECK(verdict_of(true, costing(0.0, 0.0)) == Verdict::kBest);
  CHECK(verdict_of(false, costing(0.05, 0.06)) == Verdict::kOpen);
  CHECK(verdict_of(false, costing(0.05, 0.05)) == Verdict::kOpen);
  CHECK(verdict_of(false, costing(0.002, 0.001)) == Verdict::kWorse);
  CHECK(verdict_of(false, behind_by(0.08)) == Verdict::kWorse);
  CHECK(verdict_of(false, costing(0.0, 0.0)) == Verdict::kOpen);
}

TEST_CASE("A play is open where it can't be told from the best, and not where it equals it") {
  CHECK(is_open(costing(0.05, 0.06)));
  CHECK(is_open(costing(0.0, 0.01)));
  CHECK_FALSE(is_open(costing(0.0, 0.0)));
  CHECK_FALSE(is_open(costing(0.05, 0.01)));
  CHECK_FALSE(is_open(behind_by(0.08)));
}

TEST_CASE("A play is graded by the bounds that were given, where it is worse") {
  const GradeBounds none;
  CHECK_FALSE(none.any());
  CHECK_FALSE(grade_of(costing(3.0, 0.1), none));
  const GradeBounds both{0.05, 0.1};
  CHECK(both.any());
  CHECK_FALSE(grade_of(costing(0.04, 0.01), both));
  CHECK(grade_of(costing(0.05, 0.01), both) == Grade::kError);
  CHECK(grade_of(costing(0.1, 0.01), both) == Grade::kBlunder);
  CHECK_FALSE(grade_of(costing(0.2, 0.2), both));
  // By the least that it costs, however much it may be.
  CHECK_FALSE(grade_of(behind_by(0.04), both));
  CHECK(grade_of(behind_by(0.06), both) == Grade::kError);
  CHECK(grade_of(behind_by(0.2), both) == Grade::kBlunder);
  CHECK(grade_of(costing(0.2, 0.01), {0.05, {}}) == Grade::kError);
  CHECK(grade_of(costing(0.2, 0.01), {{}, 0.1}) == Grade::kBlunder);
  CHECK_FALSE(grade_of(costing(0.06, 0.01), {{}, 0.1}));
}

TEST_CASE("Static plays are ordered by equity and cost what they give up") {
  const Evaluation evaluation =
      evaluate_decision(standard(), {start_position(), make_roll(3, 1), money_score()});
  REQUIRE(evaluation.plays.size() == 16);
  for (const EvaluatedPlay& play : evaluation.plays) {
    CHECK(play.cost == evaluation.plays.front().equity - play.equity);
    CHECK(play.cost >= 0.0);
  }
}

TEST_CASE("A lesson rolls out every roll at every score") {
  LessonPlan plan = few_trials();
  plan.position = start_position();
  plan.rolls = {make_roll(3, 1), make_roll(6, 4)};
  std::size_t started = 0;
  const Lesson lesson =
      make_lesson([&](const Decision&) { return instruments_of(standard()); }, plan,
                  [&](const LessonPart& part) {
                    CHECK(part.kind == LessonPart::Kind::kCell);
                    CHECK(part.number == started++);
                  });
  REQUIRE(lesson.cells.size() == 4);
  CHECK(lesson.cells[1].decision.score.name == "gammon-go");
  CHECK(lesson.cells[2].decision.roll == make_roll(6, 4));
}

TEST_CASE("A lesson's named plays are measured like contested ones in every cell") {
  LessonPlan plan = few_trials();
  plan.position = start_position();
  const Roll roll = make_roll(3, 1);
  plan.rolls = {roll};
  plan.settings.trials = 72;
  plan.settings.half_width = 1e-6;  // Out of reach: all go on but those set aside.
  plan.settings.most_trials = 144;
  const auto instruments = [&](const Decision&) { return instruments_of(standard()); };
  const auto none = [](const LessonPart&) {};
  const PlayKey poor = parse_play(start_position(), roll, "6/2");
  const auto told_of = [&](const RolledDecision& cell) {
    const std::vector<RolledPlay>& plays = cell.result.plays;
    return *std::find_if(plays.begin(), plays.end(),
                         [&](const RolledPlay& play) { return play.play == poor; });
  };
  const Lesson without = make_lesson(instruments, plan, none);
  REQUIRE(without.cells.size() == 2);
  plan.remarks = {{roll, {}, {poor}}};
  const Lesson with = make_lesson(instruments, plan, none);
  REQUIRE(with.cells.size() == 2);
  for (std::size_t i = 0; i < 2; ++i) {
    CHECK(told_of(without.cells[i]).at_least);
    CHECK_FALSE(told_of(with.cells[i]).at_least);
    CHECK(told_of(with.cells[i]).trials == with.cells[i].result.plays.front().trials);
  }
}

}  // namespace sixfold
