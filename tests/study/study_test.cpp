#include <catch2/catch.hpp>

#include "evaluator/network_file.h"
#include "rules/start.h"
#include "study/lesson.h"
#include "study/samples.h"

namespace sixfold {
TEST_CASE("A verdict follows from the cost and its interval") {
  const VerdictThresholds usual;
  CHECK(verdict_of(true, cost(0.0, 0.0), usual) == Verdict::kBest);
  CHECK(verdict_of(false, cost(0.019, 0.001), usual) == Verdict::kClose);
  CHECK(verdict_of(false, cost(0.05, 0.06), usual) == Verdict::kClose);
  CHECK(verdict_of(false, cost(0.02, 0.01), usual) == Verdict::kError);
  CHECK(verdict_of(false, cost(0.079, 0.01), usual) == Verdict::kError);
  CHECK(verdict_of(false, cost(0.08, 0.01), usual) == Verdict::kBlunder);
  CHECK(verdict_of(false, cost(0.05, 0.01), {0.01, 0.04}) == Verdict::kBlunder);
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

}  // namespace sixfold
