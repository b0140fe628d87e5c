// A recorded match, decision by decision.
#include "study/review.h"

#include <catch2/catch.hpp>

#include "rollout/small_race.h"
#include "study/matches.h"
#include "study/samples.h"

namespace sixfold {
TEST_CASE("Where the evaluator is exact luck and costs explain the result to the last digit") {
  // Both sides have borne off a checker, so that there are no gammons.
  const Position start = parse_position("6 5 3 / 6 4 2", 4);
  const SmallRace race(start);
  double costs = 0.0;
  for (std::uint64_t number = 0; number < 50; ++number) {
    const MatchReview review = reviewed(random_race(start, number), race);
    REQUIRE(review.complaints.empty());
    REQUIRE(review.games.size() == 1);
    const ReviewedGame& game = review.games.front();
    const OutcomeDistribution truth = race.truth(start);
    CHECK(game.start == Approx(truth[3] + truth[4] + truth[5]));
    CHECK((game.result == 0.0 || game.result == 1.0));
    CHECK(game.disagreement() == Approx(0.0).margin(1e-12));
    for (const std::size_t p : {0u, 1u}) {
      CHECK(game.sums.cost_plays[p] >= 0.0);
      CHECK(game.sums.cost_cube[p] == 0.0);
      // At double match point equity is twice the chance.
      CHECK(game.sums.cost_plays[p] == Approx(review.totals[p].cost_plays / 2.0).margin(1e-12));
      CHECK(game.sums.luck[p] == Approx(review.totals[p].luck / 2.0).margin(1e-12));
      costs += game.sums.cost_plays[p];
    }
  }
  CHECK(costs > 0.1);  // Plays at random are not always the best.
}

TEST_CASE("What an evaluator is wrong about is told as disagreement, not as luck or cost") {
  const Position start = parse_position("6 5 3 / 6 4 2", 4);
  const SmallRace race(start, 0.2);
  double most = 0.0;
  for (std::uint64_t number = 0; number < 20; ++number) {
    const ReviewedGame game = reviewed(random_race(start, number), race).games.front();
    most = std::max(most, std::abs(game.disagreement()));
  }
  CHECK(most > 0.02);
}

TEST_CASE("A double that helps nobody costs what it gives away") {
  RecordedMatch match =
      money_game({play_turn(1, "24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5", "31", "8/5 6/5"),
                  cube_turn(0, TurnKind::kDouble, "24x2 13x5 8x3 6x5 / 24x2 13x5 8x2 6x4 5x2"),
                  cube_turn(1, TurnKind::kTake, "24x2 13x5 8x2 6x4 5x2 / 24x2 13x5 8x3 6x5")});
  match.length = 5;
  match.games[0].score = {4, 2};
  match.games[0].is_after_crawford = true;
  const MatchReview review = reviewed(match, standard());
  REQUIRE(review.games.size() == 1);
  const auto& turns = review.games[0].turns;
  REQUIRE(turns.size() == 3);
  CHECK(turns[1].right == CubeStep::kNoDouble);
  CHECK(turns[1].cost > 0.1);  // A gammon at 2 would cost the match.
  CHECK(turns[2].right == CubeStep::kTake);
  CHECK(turns[2].cost == 0.0);
  // The cube turned beyond what anybody needs is as good as dead.
  match.games[0].score = {3, 3};
  match.games[0].is_after_crawford = false;
  RecordedTurn late = play_turn(0, "24x2 13x5 8x3 6x5 / 24x2 13x5 8x2 6x4 5x2", "64", "24/14");
  late.cube_value = 8;
  late.cube_owner = RecordedOwner::kOwn;
  match.games[0].turns = {late};
  CHECK(reviewed(match, standard()).complaints.empty());
  match.length = 40;
  const MatchReview long_one = reviewed(match, standard());
  CHECK(long_one.games.empty());
  REQUIRE(long_one.complaints.size() == 1);
  CHECK_THAT(long_one.complaints[0], Catch::Contains("25 away"));
}

TEST_CASE("A play costs what an evaluation says at its score and cube") {
  const RecordedMatch match =
      money_game({play_turn(0, "24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5", "31", "24/20"),
                  play_turn(1, "24x2 13x5 8x3 6x5 / 24 20 13x5 8x3 6x5", "64", "24/14")});
  const MatchReview review = reviewed(match, standard());
  REQUIRE(review.games.front().turns.size() == 2);
  Decision decision{match.games[0].turns[0].position, parse_roll("31"), money_score(), Cube{}};
  const Evaluation evaluation = evaluate_decision(standard(), decision);
  const ReviewedTurn& turn = review.games.front().turns.front();
  CHECK(turn.best == evaluation.plays.front().play);
  for (const EvaluatedPlay& play : evaluation.plays) {
    if (play.play == turn.played) CHECK(turn.cost == play.cost);
  }
  CHECK(turn.cost > 0.1);
  CHECK(turn.worth == 1.0);
  CHECK(review.totals[0].decisions == 1);
  CHECK(review.games.front().result ==
        Approx(review.games.front().start + review.games.front().sums.luck[0] -
               review.games.front().sums.luck[1] - review.games.front().sums.cost_plays[0] +
               review.games.front().sums.cost_plays[1] - review.games.front().sums.cost_cube[0] +
               review.games.front().sums.cost_cube[1] + review.games.front().disagreement()));
}

TEST_CASE("The luck of an opening is that of rolls that are no doubles, of either player") {
  const auto luck_of = [](int player, const char* dice, const char* play) {
    const MatchReview review = reviewed(
        money_game({play_turn(player, "24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5", dice, play)}),
        standard());
    return *review.games.front().turns.front().luck;
  };
  // At money both players may be the one to begin, so that before the roll nobody is ahead.
  const double mean_of_31 = luck_of(0, "31", "8/5 6/5");
  CHECK(mean_of_31 == luck_of(1, "31", "8/5 6/5"));
  CHECK(mean_of_31 > luck_of(0, "41", "24/23 13/9"));
}

// Published values of solved bear-offs: tests/study/cube_study_test.cpp names the sources.
TEST_CASE("Doubles that are missed, takes and passes cost what is published") {
  const auto turn_of = [](const MatchReview& review, int player, TurnKind kind) {
    const auto& turns = review.games.front().turns;
    const auto found = std::find_if(turns.begin(), turns.end(), [&](const ReviewedTurn& turn) {
      return turn.player == player && turn.kind == kind;
    });
    REQUIRE(found != turns.end());
    return *found;
  };
  const RecordedTurn before = play_turn(1, "7 1 / 5 2", "21", "7/4");
  const MatchReview missed =
      reviewed(money_game({before, play_turn(0, "5 2 / 4 1", "31", "5/2 2/1")}),
               standard_with_tables(), bear_off_tables());
  const ReviewedTurn no_double = turn_of(missed, 0, TurnKind::kDouble);
  CHECK(no_double.kind == TurnKind::kDouble);
  CHECK(no_double.done == CubeStep::kNoDouble);
  CHECK(no_double.right == CubeStep::kDouble);
  CHECK(no_double.number == 2);
  CHECK(no_double.cost == Approx(.111111 - .055556).margin(1e-5));
  CHECK(missed.totals[0].cost_cube == no_double.cost);

  const RecordedTurn twice = cube_turn(0, TurnKind::kDouble, "5 2 / 4 1");
  const MatchReview passed = reviewed(
      money_game({before, twice, cube_turn(1, TurnKind::kPass, "4 1 / 5 2")}, RecordedEnd{0, 1}),
      standard_with_tables(), bear_off_tables());
  CHECK(turn_of(passed, 0, TurnKind::kDouble).cost == 0.0);
  CHECK(turn_of(passed, 0, TurnKind::kDouble).right == CubeStep::kDouble);
  const ReviewedTurn pass = turn_of(passed, 1, TurnKind::kPass);
  CHECK(pass.right == CubeStep::kTake);
  CHECK(pass.cost == Approx(1.0 - .111111).margin(1e-5));
  CHECK(passed.games.front().result == 1.0);
  CHECK(passed.totals[1].cost_cube >= pass.cost);

  const MatchReview taken = reviewed(money_game({play_turn(1, "7 1 / 3x2", "21", "7/4"),
                                                 cube_turn(0, TurnKind::kDouble, "3x2 / 4 1"),
                                                 cube_turn(1, TurnKind::kTake, "4 1 / 3x2")}),
                                     standard_with_tables(), bear_off_tables());
  const CubeStudy study = cube_study("3x2 / 4 1");
  CHECK(turn_of(taken, 1, TurnKind::kTake).cost == costs_of(study.equities).take);
  CHECK(turn_of(taken, 0, TurnKind::kDouble).cost == costs_of(study.equities).doubling);
}

}  // namespace sixfold
