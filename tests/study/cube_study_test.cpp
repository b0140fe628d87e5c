#include "study/cube_study.h"

#include <catch2/catch.hpp>
#include <memory>
#include <string>

#include "base/input_error.h"
#include "evaluator/network_file.h"
#include "exact/bear_off_tables.h"
#include "rules/notation.h"
#include "study/samples.h"

namespace sixfold {
// Source: the first is Jacoby's paradox, Jacoby O. & Crawford J., The Backgammon Book, 1970; all
// recomputed exactly: money, no gammons, unlimited cube.
TEST_CASE("doubling decisions of solved bear-offs are the published ones") {
  struct Published {
    const char* position;
    double owned, centred, taken;
    const char* action;
  };
  for (const Published& each : {Published{"5 2 / 4 1", .239198, .055556, .111111, "double, take"},
                                {"2x2 / 2x2", .598765, .475309, .950617, "double, take"},
                                {"6 / 6", .625000, .500000, 1.000000, "double, take"},
                                {"5 2 / 1x2", .055556, .055556, .111111, "double, take"},
                                {"3x2 / 3x2", .501543, .501543, 1.003086, "double, pass"},
                                {"6x3 / 6x3", .625447, .588582, .751454, "double, take"}}) {
    INFO(each.position);
    const CubeStudy centred = cube_study(each.position);
    CHECK(centred.is_exact);
    CHECK(centred.equities.no_double == Approx(each.centred).margin(1e-6));
    CHECK(*centred.equities.double_take == Approx(each.taken).margin(1e-6));
    CHECK(action_text(centred.equities.action) == each.action);
    CHECK(cube_study(each.position, "roller:2").equities.no_double ==
          Approx(each.owned).margin(1e-6));
  }
}

TEST_CASE("an owned cube is held where a centred one is turned") {
  CHECK(cube_study("5 2 / 4 1", "roller:2").equities.action == CubeAction::kNoDouble);
  CHECK(cube_study("5 2 / 4 1", "roller:2").equities.equity() == Approx(.239198).margin(1e-6));
}

TEST_CASE("on the last roll the market is lost where the game is won") {
  CHECK(cube_study("5 2 / 1x2").market_losers == Approx(19.0 / 36.0));
  CHECK_FALSE(cube_study("5 2 / 4 1", "opponent:2").market_losers);
}

TEST_CASE("the model stands in outside the table, at match scores and for beavers") {
  CHECK_FALSE(cube_study("24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5").is_exact);
  CHECK_FALSE(cube_study("5 2 / 4 1", "centred", "3-away/5-away").is_exact);
  CHECK_FALSE(cube_study("5 2 / 4 1", "centred", "money", {false, true}).is_exact);
  const CubeStudy start = cube_study("24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5");
  CHECK(start.equities.action == CubeAction::kNoDouble);
  CHECK(*start.market_losers < 0.05);
}

TEST_CASE("decisions that cannot be are refused") {
  CHECK_THROWS_WITH(cube_study("6 / "), Catch::Contains("game is over"));
  CHECK_THROWS_WITH(cube_study("5 2 / 4 1", "centred", "dmp", {true, false}),
                    Catch::Contains("Jacoby"));
  CHECK_THROWS_WITH(cube_study("5 2 / 4 1", "roller:2", "gammon-go"), Catch::Contains("Crawford"));
}

TEST_CASE("a rolled-out double leaves open what is within its error") {
  Decision decision;
  decision.position = parse_position("24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5");
  decision.score = money_score();
  decision.cube = Cube{};
  RolloutSettings settings;
  settings.trials = 36;
  auto rolled =
      roll_out_cube(instruments_of(standard_with_tables(), bear_off_tables()), decision, settings);
  REQUIRE(rolled);
  CHECK_FALSE(open_questions(*rolled).taking);
  rolled->rolled->difference.mean = 0.01;
  rolled->rolled->difference.half_width = 0.02;
  CHECK(open_questions(*rolled).doubling);
  rolled->equities.double_take = 1.01;
  rolled->rolled->double_take->equity.half_width = 0.05;
  CHECK(open_questions(*rolled).taking);
  // Exact decisions are not rolled out.
  decision.position = parse_position("5 2 / 4 1");
  CHECK_FALSE(
      roll_out_cube(instruments_of(standard_with_tables(), bear_off_tables()), decision, settings)
          ->rolled);
}

}  // namespace sixfold
