// What the verdict on a decision hangs on.
#include "queue/standing.h"

#include <catch2/catch.hpp>
#include <vector>

#include "rules/notation.h"

namespace sixfold {
namespace {

RolledDecision rolled(const std::vector<double>& costs, double half_width) {
  RolledDecision decision;
  decision.decision.position = parse_position("8 7 6 / 6 5 3", 3);
  decision.decision.roll = parse_roll("21");
  PlayList plays;
  generate_plays(decision.decision.position, *decision.decision.roll, plays);
  for (std::size_t i = 0; i < costs.size(); ++i) {
    RolledPlay play;
    play.play = plays[i];
    if (i > 0) play.cost = {costs[i], half_width / 2.0, half_width, 24};
    decision.result.plays.push_back(play);
  }
  return decision;
}

std::string name_at(const RolledDecision& decision, std::size_t rank) {
  return play_text(decision.decision.position, *decision.decision.roll,
                   decision.result.plays[rank].play);
}

/// A double that is taken, by costs of waiting, or passed, by the roller's gain from a take.
CubeStudy doubled(double no_double, double double_take, double half_width) {
  CubeStudy study;
  study.rolled.emplace();
  study.rolled->no_double.equity = {no_double, half_width, half_width, 24};
  study.rolled->double_take.emplace();
  study.rolled->double_take->equity = {double_take, 2.0 * half_width, 2.0 * half_width, 24};
  study.rolled->difference = {no_double - double_take, half_width, half_width, 24};
  study.equities.no_double = no_double;
  study.equities.double_take = double_take;
  study.equities.double_pass = 1.0;
  decide(study.equities);
  return study;
}

}  // namespace

TEST_CASE("A roll hangs on the best play and the closest that is told in full") {
  RolledDecision decision = rolled({0.0, 0.02, 0.05}, 0.03);
  auto closest = closest_of(decision);
  REQUIRE(closest);
  CHECK(closest->best == name_at(decision, 0));
  CHECK(closest->rival == name_at(decision, 1));
  CHECK(closest->cost == decision.result.plays[1].cost);
  CHECK(closest->is_open);
  decision.result.plays[1].at_least = 0.01;
  closest = closest_of(decision);
  CHECK(closest->rival == name_at(decision, 2));
  CHECK_FALSE(closest->is_open);
}

TEST_CASE("A verdict is open while any play may be as good as the best") {
  RolledDecision decision = rolled({0.0, 0.02, 0.05}, 0.01);
  CHECK_FALSE(closest_of(decision)->is_open);
  decision.result.plays[2].cost.half_width = 0.06;
  CHECK(closest_of(decision)->is_open);
}

TEST_CASE("Where there are not two plays nothing is to be settled") {
  CHECK_FALSE(closest_of(rolled({0.0}, 0.01)));
  CHECK_FALSE(closest_of(rolled({}, 0.01)));
}

TEST_CASE("A double hangs on whichever of its two questions is less clear") {
  // Doubling by 0.02 ± 0.05, taking by 0.5 ± 0.1.
  Closest closest = closest_of(doubled(0.48, 0.5, 0.05));
  CHECK(closest.best == action_text(CubeAction::kDoubleTake));
  CHECK(closest.rival == "double or not");
  CHECK(closest.cost.mean == Approx(0.02));
  CHECK(closest.is_open);
  // Doubling by 0.15 ± 0.05, taking by 0.05 ± 0.1.
  closest = closest_of(doubled(0.8, 0.95, 0.05));
  CHECK(closest.rival == "take or pass");
  CHECK(closest.cost.mean == Approx(0.05));
  CHECK(closest.is_open);
  CHECK_FALSE(closest_of(doubled(0.8, 0.95, 0.01)).is_open);
}

TEST_CASE("Where nobody may double, or all is exact, a double is settled") {
  CubeStudy study = doubled(0.4, 0.5, 0.05);
  study.rolled->double_take.reset();
  CHECK_FALSE(closest_of(study).is_open);
  study.rolled.reset();
  study.is_exact = true;
  CHECK_FALSE(closest_of(study).is_open);
  CHECK(closest_of(study).best == action_text(study.equities.action));
}

}  // namespace sixfold
