#include "report/words/roll_words.h"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "report/json/json_report.h"
#include "report/page/rolls_panel.h"
#include "report/test_telling.h"
#include "report/text/rolls_text.h"
#include "rules/notation.h"
#include "rules/start.h"
#include "study/roll_parts.h"

namespace sixfold {
namespace {

/// The opening 21, as if a cost had these parts.
RolledDecision rolled_with(const RollParts& parts, const Estimate& cost) {
  RolledDecision rolled;
  rolled.decision.position = start_position();
  rolled.decision.roll = parse_roll("21");
  rolled.decision.score = money_score();
  rolled.worth = kMoneyWorth;
  for (const char* text : {"13/11 6/5", "24/23 13/11"}) {
    RolledPlay play;
    play.play = parse_play(start_position(), parse_roll("21"), text);
    rolled.result.plays.push_back(play);
  }
  rolled.result.plays[1].cost = cost;
  rolled.result.plays[1].by_roll = parts;
  return rolled;
}

RollParts sixes() {
  RollParts parts = even_parts(0.002, 0.003);
  for (const char* dice : {"61", "62", "63", "65"}) set(parts, dice, 0.008, 0.002);
  set(parts, "64", 0.012, 0.002);
  set(parts, "66", 0.016, 0.002);
  return parts;
}

CubeStudy doubled_with(const RollParts& parts, const Estimate& difference) {
  CubeStudy study;
  study.decision.position = start_position();
  study.decision.score = money_score();
  study.decision.cube = Cube{};
  study.rolled.emplace();
  study.rolled->double_take.emplace();
  study.rolled->no_double.cube.emplace();
  study.rolled->double_take->cube.emplace();
  study.rolled->by_roll = parts;
  study.rolled->difference = difference;
  return study;
}

}  // namespace

TEST_CASE("Rolls that share a number are told together, with their share of the difference") {
  CHECK(roll_words(rolled_with(sixes(), estimate_of(0.090, 0.010)), 1) ==
        "About two thirds of the difference, 0.060 ± 0.005 of 0.090, is what the opponent's sixes "
        "do, above all 66, 64, 61 and 62.");
}

TEST_CASE("A few rolls that have no number in common are named one by one") {
  RollParts parts = even_parts(0.0005, 0.002);
  set(parts, "43", 0.027, 0.004);
  set(parts, "21", 0.025, 0.004);
  set(parts, "55", -0.010, 0.004);
  CHECK(roll_words(rolled_with(parts, estimate_of(0.060, 0.010)), 1) ==
        "Nearly all of the difference, 0.052 ± 0.006 of 0.060, is what two rolls of the "
        "opponent do: 43 and 21. After 55 24/23 13/11 is better.");
}

TEST_CASE("Where the cost is open the rolls on which it hangs are told, and no share") {
  RollParts parts = even_parts(0.0, 0.002);
  set(parts, "43", 0.006, 0.004);
  set(parts, "21", -0.005, 0.004);
  CHECK(roll_words(rolled_with(parts, estimate_of(0.001, 0.010)), 1) ==
        "It depends on the opponent's roll: after 43 13/11 6/5 is better, after 21 24/23 13/11.");
}

TEST_CASE("A share that is not well known is no fraction, and noise says nothing") {
  RollParts parts = sixes();
  for (const char* dice : {"61", "62", "63", "64", "65", "66"}) {
    parts[static_cast<std::size_t>(parse_roll(dice).index())].half_width = 0.0079;
  }
  CHECK_THAT(roll_words(rolled_with(parts, estimate_of(0.090, 0.010)), 1),
             Catch::StartsWith("Much of the difference, 0.060 ± 0.019 of 0.090, is what"));
  // However vague, it is more than the whole where its interval lies beyond that.
  CHECK_THAT(roll_words(rolled_with(parts, estimate_of(0.040, 0.010)), 1),
             Catch::StartsWith("More than the whole difference, 0.060 ± 0.019 of 0.040, is what"));
  CHECK(roll_words(rolled_with(even_parts(0.003, 0.004), estimate_of(0.063, 0.010)), 1).empty());
  RolledDecision behind = rolled_with(sixes(), estimate_of(0.090, 0.010));
  behind.result.plays[1].at_least = 0.08;
  CHECK(roll_words(behind, 1).empty());
  CHECK(rolls_text(behind, 1).empty());
}

TEST_CASE("The table of rolls is short, has the others in one row, and adds up") {
  const std::string text = rolls_text(rolled_with(sixes(), estimate_of(0.090, 0.010)), 1);
  CHECK_THAT(text, Catch::StartsWith("What 24/23 13/11 costs, by the opponent's next roll\n"));
  // A part of .016 in 1 of 36 is a cost of .576 when it comes; .012 in 2 of 36 one of .216.
  CHECK_THAT(text, Catch::Contains("66                      1      +0.576 ± 0.072      "
                                   "+0.0160 ± 0.0020\n") &&
                       Catch::Contains("64                      2      +0.216 ± 0.036      "
                                       "+0.0120 ± 0.0020\n"));
  // Fifteen rolls, 25 of 36: .030 in all, their errors .003 times the root of 15.
  CHECK_THAT(text, Catch::Contains("the other 15 rolls     25      +0.043 ± 0.017      "
                                   "+0.0300 ± 0.0116\n"));
  CHECK_THAT(text, Catch::Contains("all                    36                          "
                                   "+0.0900 ± 0.0100\n"));
}

TEST_CASE("What a double gains and loses is told from the doubler's side") {
  RollParts parts = even_parts(0.001, 0.002);
  set(parts, "66", -0.040, 0.003);
  set(parts, "55", -0.030, 0.004);
  set(parts, "21", 0.020, 0.004);
  const CubeStudy study = doubled_with(parts, estimate_of(-0.032, 0.010));
  CHECK(roll_words(study) ==
        "Against waiting, a double that is taken gains 0.070 ± 0.005 with 66 and 55, and loses "
        "0.020 ± 0.004 with 21.");
  CHECK_THAT(rolls_text(study), Catch::Contains("66                      1      +1.440 ± 0.108"));
}

TEST_CASE("A table names the dearest rolls alone") {
  CHECK(dearest_rolls(rolled_with(sixes(), estimate_of(0.09, 0.01)).result.plays[1]) ==
        "66 64 61 62 63 65");
  RollParts parts = even_parts(0.001, 0.002);
  set(parts, "55", -0.030, 0.004);
  CHECK(gaining_rolls(doubled_with(parts, estimate_of(0.1, 0.2))) == "55");
}

TEST_CASE("The panel shows what stands in the JSON") {
  const RolledDecision rolled = rolled_with(sixes(), estimate_of(0.090, 0.010));
  Telling telling = kTelling;
  telling.with_ledgers = true;
  const auto json = nlohmann::json::parse(rollout_json(rolled, telling, {"1"}));
  const auto& by_roll = json["plays"][1]["by_roll"];
  REQUIRE(by_roll.size() == kRollCount);
  CHECK(by_roll[20]["dice"] == "66");
  CHECK(by_roll[20]["share"]["mean"] == 0.016);
  CHECK(by_roll[20]["share"]["half_width"] == 0.002);
  CHECK_FALSE(json["plays"][0].contains("by_roll"));
  const std::string panel = rolls_panel(rolled, 1, JsonPath() / "plays" / 1);
  CHECK_THAT(panel, Catch::Contains("data-json=\"/plays/1/by_roll/20/share/mean\"") &&
                        Catch::Contains("above all 66"));
  CHECK_THAT(rolls_panel(doubled_with(sixes(), estimate_of(0.09, 0.01)), double_path(2)),
             Catch::Contains("<data value=\"0.016\" "
                             "data-json=\"/doubles/2/rollout/by_roll/20/share/mean\""));
}

}  // namespace sixfold
