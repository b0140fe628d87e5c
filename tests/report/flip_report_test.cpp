#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "evaluator/network_fixtures.h"
#include "report/json/json_report.h"
#include "report/test_telling.h"
#include "report/text/flip_text.h"
#include "rules/notation.h"
#include "study/samples.h"

namespace sixfold {

TEST_CASE("a plane is told in 80 columns and in JSON") {
  const NetworkEvaluator evaluator(Networks{modest_network(64, 1), modest_network(64, 2)});
  RolloutSettings settings;
  settings.trials = 36;
  const Position position = parse_position("24 6x3 4x2 / 20x2 6x2");
  const auto study = study_flip(instruments_of(evaluator), position, parse_roll("31"), settings);
  REQUIRE(study);
  CHECK(study->checks.size() == 3);
  std::size_t column = 0;
  for (const char c : flip_text(*study, kTelling)) {
    if ((static_cast<unsigned char>(c) & 0xc0u) == 0x80u) continue;
    column = c == '\n' ? 0 : column + 1;
    CHECK(column <= 80);
  }
  const auto json = nlohmann::json::parse(flip_json(*study, kTelling));
  CHECK(json["plane"].size() == 21 * 21);
  CHECK(json["scores"].size() == 4 + 81);
  CHECK(json["checks"].size() == 3);
  ThreadRunner two(2);
  const auto again = study_flip(run_by(two, evaluator), position, parse_roll("31"), settings);
  CHECK(flip_json(*again, kTelling) == flip_json(*study, kTelling));
}

TEST_CASE("the scores of a plane are told as far as the match equity table goes") {
  const NetworkEvaluator evaluator(Networks{modest_network(64, 1), modest_network(64, 2)});
  const MatchEquityTable table = five_points();
  RolloutSettings settings;
  settings.trials = 6;
  const auto study =
      study_flip(instruments_of(evaluator, table), parse_position("24 6x3 4x2 / 20x2 6x2"),
                 parse_roll("31"), settings);
  REQUIRE(study);
  const auto json = nlohmann::json::parse(flip_json(*study, kTelling));
  REQUIRE(json["scores"].size() == 4 + 25);
  CHECK(json["scores"][4 + 14]["prices"]["roller"].get<double>() == study->away[14].prices.own);
  CHECK_THAT(flip_text(*study, kTelling),
             Catch::Contains("1 2 3 4 5\n") && !Catch::Contains("5 6"));
}

}  // namespace sixfold
