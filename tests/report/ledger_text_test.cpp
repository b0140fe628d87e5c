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
  CHECK_THAT(text, Catch::Contains("What 6/3 5/4 gains on 6/5 6/3") && Catch::Contains("won  ") &&
                       Catch::Contains("cost"));
}

TEST_CASE("a ledger with the cube has a line for it") {
  for (const char* score : {"money", "5-away/4-away"}) {
    const RolledDecision cell = rolled(score, parse_cube("roller:2"));
    CHECK_THAT(ledger_text(ledger_of(cell.result.plays[1], cell.worth), "a", "b"),
               Catch::Contains("the cube"));
    CHECK_THAT(ledger_rows({&cell}), Catch::Contains(score));
  }
}

TEST_CASE("lines of a ledger that add nothing are left out") {
  Ledger ledger{};
  ledger.lines[0] = {{0.01, 0.001, 0.002, 9}, 2.0, {0.02, 0.002, 0.004, 9}};
  ledger.lines[1] = {{0.03, 0.001, 0.002, 9}, 0.0, {}};
  ledger.lines[2] = {{0.0, 0.001, 0.003, 9}, 1.0, {0.0, 0.001, 0.003, 9}};
  ledger.lines[3] = {{-0.02, 0.001, 0.002, 9}, -1.0, {0.02, 0.001, 0.002, 9}};
  ledger.cost = {0.04, 0.002, 0.005, 9};
  CHECK(ledger_text(ledger, "a", "b") ==
        "What a gains on b\n"
        "                          games in 100       worth each   equity\n"
        "won                        +1.00 ± 0.20   x   +2.000   =  +0.0200 ± 0.0040\n"
        "lost by a gammon or more   -2.00 ± 0.20   x   -1.000   =  +0.0200 ± 0.0020\n"
        "cost                                                      +0.0400 ± 0.0050\n");
}

}  // namespace sixfold
