// Sentences that follow from numbers: never more certain than these.
#include <catch2/catch.hpp>

#include "report/words/cube_words.h"
#include "report/words/fact_table.h"
#include "report/words/plain_words.h"
#include "rules/notation.h"
#include "rules/start.h"

namespace sixfold {
namespace {

using Catch::Contains;

Estimate estimate(double mean, double half_width) {
  return {mean, half_width / 2, half_width, 100};
}

Score score_of(const char* name) { return parse_score(name, own_match_equities()); }

/// 8/5 6/5 against 24/23 13/10 at a cost; all of it is wins.
RolledDecision decision_with(const Estimate& cost, const char* score = "money") {
  RolledDecision rolled{{start_position(), make_roll(3, 1), score_of(score)}, {}, {}, {}, {}};
  rolled.worth = rolled.decision.score.worth;
  for (const char* play : {"8/5 6/5", "24/23 13/10"}) {
    RolledPlay one{};
    one.play = parse_play(start_position(), make_roll(3, 1), play);
    rolled.result.plays.push_back(one);
  }
  RolledPlay& second = rolled.result.plays[1];
  second.cost = cost;
  second.shares[0] = estimate(cost.mean / 2, cost.half_width / 2);
  return rolled;
}

CubeStudy double_with(double wait, double take) {
  CubeStudy study;
  study.decision.score = score_of("money");
  study.decision.cube = Cube{};
  study.equities.no_double = wait;
  study.equities.double_take = take;
  study.equities.double_pass = 1.0;
  decide(study.equities);
  return study;
}

/// Where the roller may not double.
std::string reason_at(const char* score, const char* cube) {
  Decision decision{start_position(), std::nullopt, score_of(score), parse_cube(cube)};
  return no_double_reason(decision);
}

}  // namespace

TEST_CASE("The words of a verdict are no more certain than its interval") {
  CHECK(verdict_words(decision_with(estimate(0.05, 0.06)), 1) ==
        "8/5 6/5 and 24/23 13/10 can't be told apart: 8/5 6/5 comes out ahead by 0.050 ± 0.060, "
        "which may be chance.");
  CHECK(verdict_words(decision_with(estimate(0.05, 0.01)), 1) ==
        "24/23 13/10 costs 0.050 ± 0.010 against 8/5 6/5, a point in 20 games.");
  CHECK_THAT(reason_words(decision_with(estimate(0.05, 0.01)), 1),
             Contains("wins 2.5 ± 0.5 more games in 100 (+0.050)"));
  CHECK_THAT(reason_words(decision_with(estimate(0.05, 0.06)), 1), !Contains("wins"));
  CHECK(verdict_words(decision_with(estimate(0.0, 0.0)), 1) ==
        "8/5 6/5 and 24/23 13/10 are equal.");
}

TEST_CASE("A grade is told only by bounds that were given") {
  RolledDecision rolled = decision_with(estimate(0.05, 0.01));
  rolled.grades = {0.04, 0.1};
  CHECK_THAT(verdict_words(rolled, 1), Catch::EndsWith("a point in 20 games: an error."));
  rolled.grades.blunder = 0.05;
  CHECK_THAT(verdict_words(rolled, 1), Catch::EndsWith("a point in 20 games: a blunder."));
}

TEST_CASE("A play that was set aside is told by the bound alone, rounded so that it holds") {
  RolledDecision rolled = decision_with(estimate(0.12, 0.03));
  rolled.result.plays[1].at_least = 0.0838;
  // 1 / .0838 = 11.9: a point in 12 games is no more than the bound.
  CHECK(verdict_words(rolled, 1) ==
        "24/23 13/10 is behind 8/5 6/5 by more than 0.083, at least a point in 12 games.");
}

TEST_CASE("What a cost comes to is told in games, or in matches") {
  Decision decision{start_position(), std::nullopt, score_of("money")};
  CHECK(cost_in_games(decision, 0.05) == ", a point in 20 games");
  CHECK(cost_in_games(decision, 0.0003) == ", a point in 3333 games");
  CHECK(cost_in_games(decision, 0.0) == "");
  CHECK(cost_in_games(decision, 1.7) == "");
  CHECK(cost_in_games(decision, 0.3, true) == ", at least a point in 4 games");
  decision.cube = Cube{2, CubeOwner::kRoller};
  CHECK(cost_in_games(decision, 0.05) == ", a point in 10 games");
  // At double match point -1 is losing the match and +1 winning it: .05 are 2.5% of matches.
  decision = {start_position(), std::nullopt, score_of("dmp")};
  CHECK(cost_in_games(decision, 0.05) == ", a match in 40");
}

TEST_CASE("A chance to win the match has the interval of its equity") {
  const Decision decision{start_position(), std::nullopt, score_of("dmp")};
  // From -1..+1 to 0..100%: half of the equity above 50%, half of the half-width.
  CHECK(match_percent(*match_chance(decision, estimate(0.1, 0.02))) == "55.00% ± 1.00");
  CHECK(match_percent(*match_chance(decision, estimate(-0.5, 0.0))) == "25.00%");
  CHECK_FALSE(match_chance({start_position(), std::nullopt, score_of("money")}, estimate(0.1, 0)));
}

TEST_CASE("What the cube takes away is not called a gain") {
  RolledDecision rolled = decision_with(estimate(0.05, 0.01));
  RolledPlay& second = rolled.result.plays[1];
  second.shares[0] = estimate(0.05, 0.005);  // worth .1, so that the cube takes .05
  second.cube.emplace();
  second.cube->added = estimate(-0.05, 0.01);
  CHECK_THAT(reason_words(rolled, 1),
             Contains("; but it loses 0.050 ± 0.010 by what the cube is worth."));
}

TEST_CASE("Shares that hold gammons and backgammons are called so") {
  RolledDecision rolled = decision_with(estimate(0.05, 0.01));
  RolledPlay& second = rolled.result.plays[1];
  second.shares = {};
  second.shares[1] = estimate(0.03, 0.005);
  second.shares[3] = estimate(-0.02, 0.005);
  CHECK(reason_words(rolled, 1) ==
        "8/5 6/5 wins 3.0 ± 0.5 more games in 100 by a gammon or more (+0.030) and loses 2.0 ± 0.5 "
        "fewer games in 100 by a gammon or more (+0.020).");
}

TEST_CASE("A double is told with its error, or as open") {
  CubeStudy study = double_with(0.5, 0.6);
  CHECK(double_words(study) ==
        "Right: double, he takes. Waiting costs 0.100, a point in 10 games. Passing a double costs "
        "0.400, a point in 3 games.");
  RolledDouble rolled{};
  rolled.no_double.equity = estimate(0.5, 0.05);
  rolled.double_take.emplace();
  rolled.double_take->equity = estimate(0.6, 0.06);
  rolled.difference = estimate(-0.1, 0.03);
  study.rolled = rolled;
  CHECK(double_words(study) ==
        "Right: double, he takes. Waiting costs 0.100 ± 0.030, a point in 10 games. Passing a "
        "double costs 0.400 ± 0.060, a point in 3 games.");
  study.rolled->difference = estimate(-0.1, 0.2);
  CHECK(double_words(study) ==
        "Comes out best: double, he takes. Whether to double is open: the difference is within its "
        "error. Passing a double costs 0.400 ± 0.060, a point in 3 games.");
  CHECK_THAT(double_words(double_with(1.2, 1.4)),
             Catch::StartsWith("Right: wait, being too good to double."));
}

TEST_CASE("Who may not double is told why") {
  CHECK(reason_at("money", "opponent:2") == "the cube is the opponent's");
  CHECK(reason_at("gammon-go", "centred") == "in the Crawford game nobody doubles");
  CHECK(reason_at("dmp", "centred") == "any win already gives him the match");
  CHECK(reason_at("2-away/4-away", "roller:2") ==
        "any win with the cube at 2 already gives him the match");
}

TEST_CASE("A report's head says how the cube is") {
  Decision decision{start_position(), std::nullopt, score_of("dmp")};
  CHECK(cube_state_words(decision) == "none: nobody may double at this score");
  decision.score = score_of("money");
  CHECK(cube_state_words(decision) == "left out");
  decision.score = score_of("dmp");
  decision.cube = Cube{};
  CHECK(cube_state_words(decision) == "centred, of no more use to anybody at this score");
  decision.score = score_of("gammon-save");
  CHECK(cube_state_words(decision) == "centred, out of use in the Crawford game");
  // The leader has no use for it, but the trailer does.
  decision.score = score_of("1-away/2-away post-crawford");
  CHECK(cube_state_words(decision) == "centred");
  decision.score = score_of("money");
  decision.cube = Cube{2, CubeOwner::kOpponent};
  decision.money.jacoby = true;
  CHECK(cube_state_words(decision) == "the opponent's at 2, Jacoby rule");
}

TEST_CASE("Facts in words are those that differ, by the names that points have") {
  const Position start = start_position();
  const auto words = [&](const char* roll, const char* best, const char* other) {
    const Roll dice = parse_roll(roll);
    return fact_words(start, dice, parse_play(start, dice, best), parse_play(start, dice, other));
  };
  CHECK_THAT(words("31", "8/5 6/5", "24/23 13/10"),
             Contains("8/5 6/5 makes the 5 point") &&
                 Contains("24/23 13/10 splits the back checkers.") && !Contains("gives up") &&
                 Contains("can hit with 0 of 36 rolls after 8/5 6/5"));
  CHECK_THAT(words("61", "13/7 8/7", "13/7 6/5"), Contains("13/7 8/7 makes the bar point"));
  CHECK_THAT(words("66", "24/18(2) 13/7(2)", "13/7(4)"),
             Contains("makes the opponent's bar point") && !Contains("24 point"));
  CHECK_THAT(words("33", "24/21(2) 13/10(2)", "8/5(2) 6/3(2)"),
             Contains("makes the anchor on 21 and the 10 point"));
}

TEST_CASE("The table of facts leaves out what is empty and what no play changes") {
  const Position start = start_position();
  const PlayKey play = parse_play(start, make_roll(3, 1), "8/5 6/5");
  const auto has = [&](std::span<const PlayKey> plays, std::string_view name) {
    for (const FactRow& row : fact_rows(start, plays)) {
      if (row.term.name == name) return true;
    }
    return false;
  };
  // Nobody is hit, no checker goes back, no blot is left, the opponent keeps his pips.
  for (const char* name : {"hits on", "shots", "blots", "back", "opponent's pips", "anchors"}) {
    INFO(name);
    CHECK_FALSE(has({&play, 1}, name));
  }
  for (const char* name : {"pips", "made", "home points", "prime", "spares"}) {
    INFO(name);
    CHECK(has({&play, 1}, name));
  }
  // Before any play there is nothing that could change.
  CHECK(has({}, "opponent's pips"));
  CHECK(has({}, "anchors"));
  CHECK_FALSE(has({}, "blots"));
}

}  // namespace sixfold
