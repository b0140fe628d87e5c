// Which cube a question asks for, and static values with it.
#include "study/decision.h"

#include <catch2/catch.hpp>

#include "rules/start.h"
#include "study/samples.h"

namespace sixfold {
namespace {

std::optional<Cube> cube_at(const char* asked, const char* score) {
  return parse_asked_cube(asked).at(parse_score(score, own_match_equities()));
}

Evaluation evaluated(const char* position, const char* dice, const std::optional<Cube>& cube,
                     const char* score = "money") {
  Decision decision{parse_position(position), std::nullopt,
                    parse_score(score, own_match_equities()), cube};
  if (dice != nullptr) decision.roll = parse_roll(dice);
  return evaluate_decision(standard_with_tables(), decision, bear_off_tables());
}

std::string best_of(const Evaluation& evaluation) {
  const Decision& decision = evaluation.decision;
  return play_text(decision.position, *decision.roll, evaluation.plays.front().play);
}

}  // namespace

TEST_CASE("Without a word of it the cube is in the middle wherever somebody may double") {
  for (const char* score : {"money", "2-away/2-away", "3-away/5-away",
                            "1-away/2-away post-crawford", "2-away/1-away post-crawford"}) {
    INFO(score);
    CHECK(cube_at("", score) == Cube{});
    CHECK_FALSE(cube_at("none", score));
  }
  for (const char* score : {"dmp", "gammon-go", "gammon-save", "4-away/1-away crawford"}) {
    INFO(score);
    CHECK_FALSE(cube_at("", score));
    CHECK_FALSE(cube_at("none", score));
    CHECK(cube_at("centred", score) == Cube{});
  }
  CHECK(cube_at("roller:2", "money") == Cube{2, CubeOwner::kRoller});
  CHECK_FALSE(parse_asked_cube("").is_left_out());
  CHECK(parse_asked_cube("none").is_left_out());
  CHECK_THROWS_WITH(parse_asked_cube("roller:3"), Catch::Contains("cube"));
}

TEST_CASE("A cube that is named is refused where the score does not allow it") {
  Decision decision{start_position(), std::nullopt, parse_score("dmp", own_match_equities()),
                    parse_asked_cube("roller:2").at(money_score())};
  CHECK_THROWS_WITH((void)evaluate_decision(standard(), decision),
                    Catch::Contains("beyond the match"));
  decision.cube.reset();
  decision.money.jacoby = true;
  CHECK_THROWS_WITH((void)evaluate_decision(standard(), decision),
                    Catch::Contains("belong to money play"));
}

TEST_CASE("Before the dice the equity is that after doubling or not, beside it the cubeless one") {
  const Evaluation with = evaluated("5 2 / 4 1", nullptr, Cube{});
  const Evaluation without = evaluated("5 2 / 4 1", nullptr, std::nullopt);
  CHECK(with.is_cube_alive);
  CHECK(with.is_exact);
  const CubeStudy study = cube_study("5 2 / 4 1");
  CHECK(with.equity == study.equities.equity());
  CHECK(with.equity > study.equities.no_double);
  CHECK(with.cubeless_equity == without.equity);
  CHECK(without.cubeless_equity == without.equity);
  CHECK_FALSE(without.is_cube_alive);
  const Evaluation opening = evaluated("24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5", nullptr, Cube{});
  CHECK_FALSE(opening.is_exact);
  CHECK(opening.equity == cube_study("24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5").equities.equity());
}

TEST_CASE("With the cube another play of a bear-off is best, by the exact tables") {
  const char* const position = "5 4 3x2 / 6 5 1";
  const Evaluation without = evaluated(position, "31", std::nullopt);
  const Evaluation with = evaluated(position, "31", Cube{});
  CHECK(best_of(without) == "4/off");
  CHECK(best_of(with) == "3/off 3/2");
  for (const Evaluation* each : {&without, &with}) {
    CHECK(each->plays[0].cost == 0.0);
    for (std::size_t i = 1; i < each->plays.size(); ++i) {
      CHECK(each->plays[i].is_exact);
      CHECK(each->plays[i].cost ==
            Approx(each->plays[0].equity - each->plays[i].equity).margin(1e-12));
    }
  }
  CHECK(with.plays[0].cubeless_equity < without.plays[0].equity);
  // A play is worth what it leaves to the opponent, who doubles or not.
  const Position after = position_after(parse_position(position), with.plays[0].play);
  CHECK(with.plays[0].equity == -cube_study(position_text(after)).equities.equity());
}

TEST_CASE("Plays are worth what the opponent's next decision leaves, per unit of the cube") {
  for (const char* score : {"money", "4-away/5-away"}) {
    for (const char* cube : {"centred", "roller:2", "opponent:2"}) {
      INFO(score << ", " << cube);
      const Evaluation evaluation =
          evaluated("24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5", "31", parse_cube(cube), score);
      CHECK(evaluation.is_cube_alive);
      CHECK_FALSE(evaluation.plays.front().is_exact);
      const CubeRules rules = *cube_rules(evaluation.decision, bear_off_tables());
      for (const EvaluatedPlay& play : evaluation.plays) {
        const Position after = position_after(evaluation.decision.position, play.play);
        const Outlook his = standard_with_tables().evaluate_with_cube(after);
        CHECK(play.equity ==
              Approx(-rules.decide(after, his.outcomes, his.lives, rules.start(), CubeSide::kOther)
                          .equity())
                  .margin(1e-6));
        CHECK(play.cubeless_equity == worth_of(play.outcomes, rules.outcome_worth()));
      }
    }
  }
}

TEST_CASE("A cube that nobody can turn is the stake alone, and finished games are worth it") {
  const Evaluation dead = evaluated("24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5", "31",
                                    parse_cube("opponent:2"), "2-away/2-away");
  CHECK_FALSE(dead.is_cube_alive);
  CHECK(dead.plays.front().equity == dead.plays.front().cubeless_equity);
  const Evaluation last = evaluated("1 / 23x2 13x5 8x3 6x5", "21", Cube{});
  CHECK(last.plays.front().equity == Approx(3.0));
  CHECK(evaluated("6x2 / ", nullptr, Cube{}).equity == -1.0);
  // Until the cube has been turned gammons do not count.
  Decision jacoby{parse_position("1 / 23x2 13x5 8x3 6x5"), parse_roll("21"), money_score(), Cube{}};
  jacoby.money.jacoby = true;
  const Evaluation by_rule = evaluate_decision(standard_with_tables(), jacoby, bear_off_tables());
  CHECK(by_rule.plays.front().equity == Approx(1.0));
  CHECK(by_rule.plays.front().cubeless_equity == Approx(3.0));
}

}  // namespace sixfold
