#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "evaluator/network_fixtures.h"
#include "report/json/json_report.h"
#include "report/text/flip_text.h"
#include "rules/notation.h"

namespace sixfold {

TEST_CASE("a plane is told in 80 columns and in JSON") {
  const NetworkEvaluator evaluator(Networks{modest_network(64, 1), modest_network(64, 2)});
  RolloutSettings settings;
  settings.trials = 36;
  const Position position = parse_position("24 6x3 4x2 / 20x2 6x2");
  const auto study = study_flip(evaluator, "net", position, parse_roll("31"), settings);
  REQUIRE(study);
  CHECK(study->checks.size() == 3);
  std::size_t column = 0;
  for (const char c : flip_text(*study)) {
    if ((static_cast<unsigned char>(c) & 0xc0u) == 0x80u) continue;
    column = c == '\n' ? 0 : column + 1;
    CHECK(column <= 80);
  }
  const auto json = nlohmann::json::parse(flip_json(*study));
  CHECK(json["plane"].size() == 21 * 21);
  CHECK(json["scores"].size() == 4 + 81);
  CHECK(json["checks"].size() == 3);
  settings.threads = 2;
  const auto again = study_flip(evaluator, "net", position, parse_roll("31"), settings);
  CHECK(flip_json(*again) == flip_json(*study));
}

}  // namespace sixfold
