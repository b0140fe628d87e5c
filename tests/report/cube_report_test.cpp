#include <catch2/catch.hpp>
#include <string>

#include "evaluator/network_file.h"
#include "exact/bear_off_tables.h"
#include "report/json/json_report.h"
#include "report/test_telling.h"
#include "report/text/cube_text.h"
#include "rules/notation.h"
#include "study/samples.h"

namespace sixfold {
TEST_CASE("reports say what was found, in 80 columns") {
  for (const char* cube : {"centred", "roller:2", "opponent:4"}) {
    const CubeStudy found =
        cube_study("24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5", cube, "9-away/7-away");
    std::size_t column = 0;
    for (const char c : cube_study_text(found, kMadeBy)) {
      const bool is_column = (static_cast<unsigned char>(c) & 0xc0u) != 0x80u;
      column = c == '\n' ? 0 : column + (is_column ? 1 : 0);
      CHECK(column <= 80);
    }
    CHECK_THAT(cube_json(found, kMadeBy), Catch::Contains("\"schema\":\"sixfold.cube/2\""));
  }
  CHECK_THAT(cube_study_text(cube_study("3x2 / 3x2"), kMadeBy),
             Catch::Contains("Right: double, he passes."));
  CHECK_THAT(cube_json(cube_study("3x2 / 3x2"), kMadeBy),
             Catch::Contains("\"action\":\"double, pass\"") &&
                 Catch::Contains("\"method\":\"exact\"") &&
                 Catch::Contains("\"owner\":\"centred\""));
}

TEST_CASE("a rolled-out double says what it leaves open") {
  Decision decision;
  decision.position = parse_position("24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5");
  decision.score = money_score();
  decision.cube = Cube{};
  RolloutSettings settings;
  settings.trials = 36;
  auto rolled =
      roll_out_cube(instruments_of(standard_with_tables(), bear_off_tables()), decision, settings);
  REQUIRE(rolled);
  CHECK_THAT(cube_json(*rolled, kMadeBy), Catch::Contains("\"method\":\"rollout\"") &&
                                              Catch::Contains("\"settled\":{\"double\":"));
  rolled->rolled->difference.mean = 0.01;
  rolled->rolled->difference.half_width = 0.02;
  CHECK_THAT(cube_study_text(*rolled, kMadeBy), Catch::Contains("Whether to double is open"));
}

TEST_CASE("each way to go on has its equity and what it costs the one who errs") {
  // 19 of 36 rolls bear both off; after the other 17 the opponent doubles and the roller passes:
  // 2/36 at 1, twice that at 2. Waiting costs 1/18.
  const std::string text = cube_study_text(cube_study("5 2 / 4 1"), kMadeBy);
  CHECK_THAT(text, Catch::Contains("wait                +0.0556") &&
                       Catch::Contains("double, he takes    +0.1111") &&
                       Catch::Contains("double, he passes   +1.0000") &&
                       Catch::Contains("a point in 18 games") && !Catch::Contains("/take"));
}

TEST_CASE("a roller who may not double is told why, and what is left to him") {
  const std::string text = cube_study_text(
      cube_study("24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5", "centred", "dmp"), kMadeBy);
  CHECK_THAT(text, Catch::Contains("The roller may not double: any win already gives him the") &&
                       Catch::Contains("roll out the plays") && !Catch::Contains("double, he"));
}

TEST_CASE("at a match score each way to go on has its chance to win the match") {
  CubeStudy study = cube_study("24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5", "centred", "dmp");
  study.equities.no_double = 0.1;
  CHECK_THAT(cube_study_text(study, kMadeBy),
             Catch::Contains("The roller's chance to win the match: wait 55.00%."));
  CHECK_THAT(cube_study_text(cube_study("5 2 / 4 1"), kMadeBy), !Catch::Contains("the match"));
}

}  // namespace sixfold
