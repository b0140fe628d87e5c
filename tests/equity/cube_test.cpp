#include "equity/cube.h"

#include <catch2/catch.hpp>
#include <string>

#include "base/input_error.h"
#include "equity/match_table_file.h"

namespace sixfold {
namespace {

OutcomeDistribution single_games(double p) { return {{0.0, 0.0, 1.0 - p, p, 0.0, 0.0}}; }

CubeDecision at_money(const OutcomeDistribution& outcomes, double life, const Cube& cube = {}) {
  return cube_decision(outcomes, money_score(), cube, equal_lives(life));
}

void require_refusal(const std::string& score, const std::string& cube, const std::string& words) {
  INFO(score << ", " << cube);
  CHECK_THROWS_AS((void)cube_decision(single_games(0.5), parse_score(score, own_match_equities()),
                                      parse_cube(cube), equal_lives(0.7)),
                  InputError);
  CHECK_THROWS_WITH((void)cube_decision(single_games(0.5), parse_score(score, own_match_equities()),
                                        parse_cube(cube), equal_lives(0.7)),
                    Catch::Contains(words));
}

}  // namespace

// Exact mathematics: on the last roll the cube is dead. Take point .25: common practice.
TEST_CASE("with a dead cube one doubles above one half and passes below a quarter") {
  CHECK(at_money(single_games(0.49), 0.0).action == CubeAction::kNoDouble);
  CHECK(at_money(single_games(0.51), 0.0).action == CubeAction::kDoubleTake);
  CHECK(at_money(single_games(0.74), 0.0).action == CubeAction::kDoubleTake);
  CHECK(at_money(single_games(0.76), 0.0).action == CubeAction::kDoublePass);
  const CubeDecision decision = at_money(single_games(0.7), 0.0);
  CHECK(decision.no_double == Approx(0.4));
  CHECK(decision.double_take == Approx(0.8));
  CHECK(decision.double_pass == Approx(1.0));
  CHECK(decision.equity() == Approx(0.8));
  CHECK(decision.take_point->live == Approx(0.25));
  CHECK(decision.cash_point == Approx(0.75));
  CHECK(decision.double_point == Approx(0.5));
}

TEST_CASE("a cube with life is doubled later and taken earlier") {
  const CubeDecision decision = at_money(single_games(0.6), 2.0 / 3.0);
  CHECK(decision.action == CubeAction::kNoDouble);
  CHECK(*decision.double_point > 0.65);
  CHECK(*decision.double_point < *decision.cash_point);
  CHECK(decision.take_point->live == Approx(0.21429).margin(1e-5));
  CHECK(decision.take_point->dead == Approx(0.25));
  // An owned cube is kept longer than a centred one.
  const Cube owned{2, CubeOwner::kRoller};
  CHECK(*at_money(single_games(0.6), 2.0 / 3.0, owned).double_point > *decision.double_point);
}

TEST_CASE("at money every cube that has been turned is worth the same for each unit") {
  const CubeDecision low = at_money(single_games(0.7), 0.7, {2, CubeOwner::kRoller});
  const CubeDecision high = at_money(single_games(0.7), 0.7, {1024, CubeOwner::kRoller});
  CHECK(high.no_double == low.no_double);
  CHECK(high.cash_point == low.cash_point);
}

TEST_CASE("a position whose gammons are worth more than a pass is too good to double") {
  const OutcomeDistribution strong{{0.0, 0.0, 0.05, 0.35, 0.60, 0.0}};
  const CubeDecision decision = at_money(strong, 0.7);
  CHECK(decision.no_double > 1.0);
  CHECK(decision.action == CubeAction::kTooGood);
  CHECK(decision.equity() == decision.no_double);
  // By the Jacoby rule gammons don't count before a double, so it is cashed.
  const CubeDecision jacoby =
      cube_decision(strong, by_jacoby_rule(money_score()), {}, equal_lives(0.7));
  CHECK(jacoby.action == CubeAction::kDoublePass);
}

TEST_CASE("nobody doubles a cube that the opponent owns") {
  const CubeDecision decision = at_money(single_games(0.7), 0.7, {2, CubeOwner::kOpponent});
  CHECK_FALSE(decision.double_take);
  CHECK_FALSE(decision.cash_point);
  CHECK(decision.action == CubeAction::kNoDouble);
  CHECK(decision.equity() == decision.no_double);
}

TEST_CASE("a double that loses is beavered where beavers are played") {
  const Score money = money_score();
  const CubeDecision plain = cube_decision(single_games(0.4), money, {}, equal_lives(0.5));
  const CubeDecision beavered = cube_decision(single_games(0.4), money, {}, equal_lives(0.5), true);
  CHECK_FALSE(plain.is_beavered);
  CHECK(beavered.is_beavered);
  CHECK(*plain.double_take < 0.0);
  CHECK(beavered.double_take == Approx(2.0 * *plain.double_take).margin(1e-3));
  CHECK_FALSE(cube_decision(single_games(0.7), money, {}, equal_lives(0.5), true).is_beavered);
}

// Source: Woolsey K., How to Play Tournament Backgammon, 1993: 2-away against 1-away .30.
TEST_CASE("the dead take point at 2-away/2-away with Woolsey's table is .30") {
  const MatchEquityTable table = parse_match_table("away,1,2\n1,.5,.7\n2,.3,.5\n", "Woolsey");
  const Score score = parse_score("2-away/2-away", table);
  const CubeDecision decision = cube_decision(single_games(0.6), score, {}, equal_lives(0.7));
  CHECK(decision.take_point->live == Approx(0.30));
  CHECK(decision.take_point->dead == Approx(0.30));
  // After the double the match is at stake for both: no cube is left.
  CHECK(decision.double_take == Approx((0.6 - 0.5) / 0.2));
}

// Common practice.
TEST_CASE("the trailer doubles at once after the Crawford game, the leader never") {
  for (const double p : {0.2, 0.4, 0.49}) {
    CHECK(cube_decision(single_games(p),
                        parse_score("4-away/1-away post-crawford", own_match_equities()), {},
                        equal_lives(0.7))
              .action == CubeAction::kDoubleTake);
  }
  CHECK_FALSE(cube_decision(single_games(0.9),
                            parse_score("1-away/4-away post-crawford", own_match_equities()), {},
                            equal_lives(0.7))
                  .double_take);
}

TEST_CASE("cubes that a score does not allow are refused") {
  require_refusal("gammon-go", "roller:2", "Crawford");
  require_refusal("3-away/5-away", "opponent:16", "beyond the match");
  require_refusal("dmp", "roller:2", "beyond the match");
}

TEST_CASE("cubes are read") {
  CHECK(parse_cube("centred") == Cube{1, CubeOwner::kCentred});
  CHECK(parse_cube("roller:2") == Cube{2, CubeOwner::kRoller});
  CHECK(parse_cube("opponent:64") == Cube{64, CubeOwner::kOpponent});
  CHECK(parse_cube("roller:4") == Cube{4, CubeOwner::kRoller});
  CHECK(parse_cube("Roller:4") == Cube{4, CubeOwner::kRoller});
  for (const char* text : {"centered", "center", "centre", "CENTRED"}) {
    CHECK(parse_cube(text) == Cube{});
    CHECK(parse_cube_or_none(text) == Cube{});
  }
  CHECK(parse_cube_or_none("none") == std::nullopt);
  for (const char* text : {"", "roller", "roller:", "roller:3", "roller:1", "opponent:2048",
                           "centred:2", "roller:2x", "me:2"}) {
    INFO(text);
    CHECK_THROWS_AS((void)parse_cube(text), InputError);
  }
}

}  // namespace sixfold
