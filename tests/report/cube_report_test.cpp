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
    CHECK_THAT(cube_json(found, kMadeBy), Catch::Contains("\"schema\":\"sixfold.cube/1\""));
  }
  CHECK_THAT(cube_study_text(cube_study("3x2 / 3x2"), kMadeBy),
             Catch::Contains("Verdict: double, pass."));
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
  CHECK_THAT(cube_study_text(*rolled, kMadeBy),
             Catch::Contains("Not settled") && Catch::Contains("whether to double"));
}

}  // namespace sixfold
