#include "report/text/ledger_text.h"

#include <catch2/catch.hpp>

#include "evaluator/network_fixtures.h"
#include "rules/notation.h"
#include "study/instruments_of.h"

namespace sixfold {
namespace {

RolledDecision rolled(const char* score, const std::optional<Cube>& cube) {
  static const NetworkEvaluator kEvaluator(Networks{modest_network(64, 1), modest_network(64, 2)});
  const Decision decision{parse_position("24 6x3 4x2 / 20x2 6x2"), parse_roll("31"),
                          parse_score(score, own_match_equities()), cube};
  RolloutSettings settings;
  settings.trials = 144;
  return roll_out_decision(instruments_of(kEvaluator), decision, settings, {});
}

}  // namespace

TEST_CASE("a ledger is told in words") {
  const RolledDecision cell = rolled("money", std::nullopt);
  const std::string text =
      ledger_text(ledger_of(cell.result.plays[1], cell.worth), "6/3 5/4", "6/5 6/3");
  CHECK_THAT(text, Catch::Contains("What 6/3 5/4 gains on 6/5 6/3") &&
                       Catch::Contains("lost by a gammon or more") && Catch::Contains("cost"));
}

TEST_CASE("a ledger with the cube has a line for it") {
  for (const char* score : {"money", "5-away/4-away"}) {
    const RolledDecision cell = rolled(score, parse_cube("roller:2"));
    CHECK_THAT(ledger_text(ledger_of(cell.result.plays[1], cell.worth), "a", "b"),
               Catch::Contains("the cube"));
    CHECK_THAT(ledger_rows({&cell}), Catch::Contains(score));
  }
}

}  // namespace sixfold
