#include "study/ledger.h"

#include <catch2/catch.hpp>
#include <string>

#include "evaluator/network_fixtures.h"
#include "rules/notation.h"
#include "study/decision.h"
#include "study/instruments_of.h"

namespace sixfold {
namespace {

RolloutResult rolled(const char* position, const char* score, double half_width) {
  static const NetworkEvaluator kEvaluator(Networks{modest_network(64, 1), modest_network(64, 2)});
  PlayList plays;
  generate_plays(parse_position(position), parse_roll("31"), plays);
  RolloutSettings settings;
  settings.trials = 144;
  settings.half_width = half_width;
  settings.most_trials = 432;
  ThreadRunner runner;
  return roll_out(kEvaluator, parse_position(position), plays.span(),
                  parse_score(score, own_match_equities()), settings, runner);
}

}  // namespace

TEST_CASE("the lines of a ledger add up to the cost, at any score and number of trials") {
  for (const char* score : {"money", "gammon-go", "gammon-save", "3-away/5-away"}) {
    // With a half-width plays have different numbers of trials.
    for (const double half_width : {0.0, 0.05}) {
      const OutcomeWorth worth = parse_score(score, own_match_equities()).worth;
      const RolloutResult result = rolled("24 6x3 4x2 / 20x2 6x2", score, half_width);
      REQUIRE(result.plays.size() > 2);
      for (std::size_t i = 1; i < result.plays.size(); ++i) {
        const Ledger ledger = ledger_of(result.plays[i], worth);
        double sum = 0.0;
        for (const LedgerLine& line : ledger.lines) {
          sum += line.worth.mean;
          CHECK(line.worth.half_width >= 0.0);
        }
        INFO(score << ", play " << i);
        CHECK(sum == Approx(ledger.cost.mean).margin(1e-12));
        CHECK(ledger.cost.mean == result.plays[i].cost.mean);
      }
    }
  }
}

TEST_CASE("with equal trials the changes are the differences of the outcomes shown") {
  const RolloutResult result = rolled("24 6x3 4x2 / 20x2 6x2", "money", 0.0);
  const auto& best = result.plays[0].outcomes;
  for (std::size_t i = 1; i < result.plays.size(); ++i) {
    const auto& other = result.plays[i].outcomes;
    const Ledger ledger = ledger_of(result.plays[i], kMoneyWorth);
    const auto change = [&](std::size_t first, std::size_t last) {
      double sum = 0.0;
      for (std::size_t o = first; o <= last; ++o) sum += best[o].mean - other[o].mean;
      return Approx(sum).margin(1e-12);
    };
    CHECK(ledger.lines[0].change.mean == change(3, 5));
    CHECK(ledger.lines[1].change.mean == change(4, 5));
    CHECK(ledger.lines[2].change.mean == change(5, 5));
    CHECK(ledger.lines[3].change.mean == change(0, 1));
    CHECK(ledger.lines[4].change.mean == change(0, 0));
  }
}

TEST_CASE("prices are those of one more game of the kind") {
  const RolloutResult result = rolled("24 6x3 4x2 / 20x2 6x2", "money", 0.0);
  const Ledger money = ledger_of(result.plays[1], kMoneyWorth);
  const std::array expected{2.0, 1.0, 1.0, -1.0, -1.0};
  for (std::size_t i = 0; i < kShareCount; ++i) CHECK(money.lines[i].price == expected[i]);
  const Ledger save =
      ledger_of(result.plays[1], parse_score("gammon-save", own_match_equities()).worth);
  const std::array saving{2.0, 0.0, 0.0, -2.0, 0.0};
  for (std::size_t i = 0; i < kShareCount; ++i) CHECK(save.lines[i].price == Approx(saving[i]));
}

TEST_CASE("with the cube a line of its own makes up the cost") {
  static const NetworkEvaluator kEvaluator(Networks{modest_network(64, 1), modest_network(64, 2)});
  Decision decision{parse_position("24 6x3 4x2 / 20x2 6x2"), parse_roll("31"), money_score(),
                    parse_cube("roller:2")};
  RolloutSettings settings;
  settings.trials = 144;
  for (const char* score : {"money", "5-away/4-away"}) {
    decision.score = parse_score(score, own_match_equities());
    const RolledDecision cell =
        roll_out_decision(instruments_of(kEvaluator), decision, settings, {});
    for (std::size_t i = 1; i < cell.result.plays.size(); ++i) {
      const Ledger ledger = ledger_of(cell.result.plays[i], cell.worth);
      REQUIRE(ledger.cube);
      double sum = ledger.cube->mean;
      for (const LedgerLine& line : ledger.lines) sum += line.worth.mean;
      CHECK(sum == Approx(ledger.cost.mean).margin(1e-12));
    }
  }
}

TEST_CASE("a cube that nobody can turn is no cube") {
  const NetworkEvaluator evaluator(Networks{modest_network(64, 1), modest_network(64, 2)});
  Decision decision{parse_position("24 6x3 4x2 / 20x2 6x2"), parse_roll("31"),
                    parse_score("gammon-go", own_match_equities())};
  RolloutSettings settings;
  settings.trials = 36;
  const RolledDecision without =
      roll_out_decision(instruments_of(evaluator), decision, settings, {});
  decision.cube = Cube{};
  const RolledDecision with = roll_out_decision(instruments_of(evaluator), decision, settings, {});
  CHECK_FALSE(with.result.plays[0].cube);
  CHECK(with.result.plays[1].cost == without.result.plays[1].cost);
  // At 2-away/2-away a cube at 2 makes the game one for the match.
  decision.score = parse_score("2-away/2-away", own_match_equities());
  decision.cube = parse_cube("opponent:2");
  CHECK(roll_out_decision(instruments_of(evaluator), decision, settings, {}).worth ==
        parse_score("dmp", own_match_equities()).worth);
}

}  // namespace sixfold
