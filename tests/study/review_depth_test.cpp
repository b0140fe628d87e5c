// Decisions of a recorded match, a roll ahead and rolled out.
#include "study/review_depth.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "rollout/small_race.h"
#include "study/matches.h"
#include "study/samples.h"

namespace sixfold {
namespace {

ReviewTools tools_of(const Evaluator& evaluator, const ExactTables& tables = {}) {
  return {[&evaluator](const Decision&) -> const Evaluator& { return evaluator; }, tables,
          own_match_equities()};
}

/// Both sides have borne off a checker, so that there are no gammons.
Position race_of_three() { return parse_position("6 5 3 / 6 4 2", 4); }

/// What a play really costs among all of its roll.
double true_cost(const SmallRace& truth, const ReviewedTurn& turn) {
  PlayList plays;
  generate_plays(turn.decision.position, *turn.decision.roll, plays);
  const auto worth = [&](PlayKey play) {
    return worth_of(truth.truth_after(turn.decision.position, play), turn.decision.score.worth);
  };
  double best = -9.0;
  for (const PlayKey play : plays) best = std::max(best, worth(play));
  return best - worth(turn.played);
}

}  // namespace

TEST_CASE("Where the evaluator is exact a roll ahead says what static values say") {
  const SmallRace race(race_of_three());
  for (std::uint64_t number = 0; number < 10; ++number) {
    const MatchReview before = reviewed(random_race(race_of_three(), number), race);
    MatchReview review = before;
    look_ahead(tools_of(race), review);
    REQUIRE(review.games[0].turns.size() == before.games[0].turns.size());
    for (std::size_t t = 0; t < review.games[0].turns.size(); ++t) {
      const ReviewedTurn& turn = review.games[0].turns[t];
      CHECK(turn.cost == Approx(before.games[0].turns[t].cost).margin(1e-9));
      CHECK(turn.static_cost == (turn.is_forced ? 0.0 : before.games[0].turns[t].cost));
      CHECK((turn.judged_by == JudgedBy::kLookahead) == !turn.is_forced);
    }
  }
}

TEST_CASE("With the cube in a solved bear-off a roll ahead says what the table says") {
  const RecordedTurn before = play_turn(1, "7 1 / 5 2", "21", "7/4");
  const auto judged = [](const RecordedMatch& match) {
    const MatchReview by_table = reviewed(match, standard_with_tables(), bear_off_tables());
    MatchReview review = by_table;
    look_ahead(tools_of(standard_with_tables(), bear_off_tables()), review);
    REQUIRE(review.games[0].turns.size() == by_table.games[0].turns.size());
    for (std::size_t t = 1; t < review.games[0].turns.size(); ++t) {
      const ReviewedTurn& turn = review.games[0].turns[t];
      CHECK(turn.cost == Approx(by_table.games[0].turns[t].cost).margin(1e-6));
      CHECK(turn.right == by_table.games[0].turns[t].right);
    }
    return review;
  };
  judged(money_game({before, play_turn(0, "5 2 / 4 1", "31", "5/2 2/1")}));
  const MatchReview passed =
      judged(money_game({before, cube_turn(0, TurnKind::kDouble, "5 2 / 4 1"),
                         cube_turn(1, TurnKind::kPass, "4 1 / 5 2")},
                        RecordedEnd{0, 1}));
  CHECK(passed.totals[1].cost_cube > 0.8);
  judged(money_game({play_turn(1, "7 1 / 3x2", "21", "7/4"),
                     cube_turn(0, TurnKind::kDouble, "3x2 / 4 1"),
                     cube_turn(1, TurnKind::kTake, "4 1 / 3x2")}));
}

TEST_CASE("A roll ahead finds decisions that the evaluator misjudges") {
  const SmallRace truth(race_of_three());
  const SmallRace wrong(race_of_three(), 0.1);
  double by_static = 0.0;
  double ahead = 0.0;
  int found = 0;
  for (std::uint64_t number = 0; number < 40; ++number) {
    MatchReview review = reviewed(random_race(race_of_three(), number), wrong);
    look_ahead(tools_of(wrong), review);
    for (const ReviewedTurn& turn : review.games[0].turns) {
      const double cost = true_cost(truth, turn);
      by_static += std::abs(turn.static_cost - cost);
      ahead += std::abs(turn.cost - cost);
      found += turn.static_cost == 0.0 && turn.cost > 0.01 && cost > 0.01 ? 1 : 0;
    }
  }
  CHECK(ahead < 0.7 * by_static);
  CHECK(found > 0);
}

TEST_CASE("A double that only a roll ahead misses becomes a turn before the play") {
  // As if static values had thought the wait right.
  const RecordedMatch match = money_game(
      {play_turn(1, "7 1 / 5 2", "21", "7/4"), play_turn(0, "5 2 / 4 1", "31", "5/2 2/1")});
  MatchReview review = reviewed(match, standard_with_tables(), bear_off_tables());
  ReviewedGame& game = review.games[0];
  const auto missed = std::find_if(game.turns.begin(), game.turns.end(), [](const auto& turn) {
    return turn.kind == TurnKind::kDouble && turn.number == 2;
  });
  REQUIRE(missed != game.turns.end());
  const double cost = missed->cost;
  missed->cost = 0.0;
  game.waits = {*missed};
  game.turns.erase(missed);
  look_ahead(tools_of(standard_with_tables(), bear_off_tables()), review);
  const auto inserted = std::find_if(game.turns.begin(), game.turns.end(),
                                     [](const auto& turn) { return turn.number == 2; });
  REQUIRE(inserted != game.turns.end());
  CHECK(inserted->kind == TurnKind::kDouble);
  CHECK(inserted->right == CubeStep::kDouble);
  CHECK(inserted->cost == Approx(cost).margin(1e-6));
  CHECK(std::next(inserted)->kind == TurnKind::kPlay);
  CHECK(review.totals[0].cost_cube == Approx(cost).margin(1e-6));
}

TEST_CASE("What is stopped before a roll ahead stays static") {
  const SmallRace wrong(race_of_three(), 0.1);
  const MatchReview before = reviewed(random_race(race_of_three(), 1), wrong);
  MatchReview review = before;
  const std::atomic<bool> stop{true};
  look_ahead(tools_of(wrong), review, &stop);
  CHECK(review.interrupted);
  CHECK(review.totals[0].cost_plays == before.totals[0].cost_plays);
}

TEST_CASE("Dear decisions cost what their rollouts say, and a stop leaves the rest static") {
  const Position start = parse_position("6 5 3 / 6 4 2", 4);
  const SmallRace truth(start);
  const SmallRace wrong(start, 0.2);
  const ReviewTools tools{[&](const Decision&) -> const Evaluator& { return wrong; },
                          instruments_of(wrong).tables, own_match_equities()};
  const auto dear_turns = [](const MatchReview& review) {
    const auto& turns = review.games[0].turns;
    return std::count_if(turns.begin(), turns.end(),
                         [](const ReviewedTurn& turn) { return turn.cost >= 0.001; });
  };
  MatchReview before;
  for (std::uint64_t number = 0; number == 0 || dear_turns(before) < 3; ++number) {
    before = review_match(tools, random_race(start, number));
  }
  MatchReview review = before;
  std::size_t asked = 0;
  std::size_t most = 2;
  ReviewRoller roller;
  roller.plays = [&](const RolloutQuestion& question) -> std::optional<RolledDecision> {
    if (asked == most) return std::nullopt;
    ++asked;
    return roll_out_decision(instruments_of(truth), question.decision, question.settings, {},
                             question.wanted);
  };
  ReviewDepth depth{0.001, {}};
  depth.settings.trials = 36;
  roll_out_dear_turns(tools, roller, depth, review);
  CHECK(asked == 2);
  CHECK(review.interrupted);
  double costs = 0.0;
  std::size_t rolled = 0;
  for (std::size_t t = 0; t < review.games[0].turns.size(); ++t) {
    const ReviewedTurn& turn = review.games[0].turns[t];
    costs += turn.cost;
    if (!turn.half_width) {
      CHECK(turn.cost == before.games[0].turns[t].cost);
      continue;
    }
    ++rolled;
    const auto equity = [&](PlayKey play) {
      return worth_of(truth.truth_after(turn.decision.position, play), turn.decision.score.worth);
    };
    // An exact evaluator's trials have no errors but those of the intervals' least width.
    CHECK(turn.cost == Approx(equity(turn.best) - equity(turn.played)).margin(1e-9));
    CHECK(before.games[0].turns[t].cost >= depth.bound);
  }
  CHECK(rolled == 2);
  CHECK(review.totals[0].cost_plays + review.totals[1].cost_plays == Approx(costs));
  CHECK(review.games[0].sums.cost_plays[0] == Approx(review.totals[0].cost_plays / 2.0));
  asked = 0;
  most = 1000;
  roll_out_dear_turns(tools, roller, depth, review = before);
  CHECK(asked == static_cast<std::size_t>(dear_turns(before)));
}

/// Costs of dear turns, rolled out with real noise and known exactly.
TEST_CASE("The interval of rolled-out costs in sum holds the truth as often as it says") {
  const SmallRace truth(race_of_three());
  const SmallRace wrong(race_of_three(), 0.1);
  const ReviewTools tools = tools_of(wrong);
  ReviewRoller roller;
  roller.plays = [&](const RolloutQuestion& question) -> std::optional<RolledDecision> {
    return roll_out_decision(instruments_of(truth), question.decision, question.settings, {},
                             question.wanted);
  };
  ReviewDepth depth{0.02, {}};
  depth.settings.trials = 144;
  depth.settings.make_plain();
  depth.settings.known_ends = false;
  int matches = 0;
  int held = 0;
  double error = 0.0;
  double square = 0.0;
  for (std::uint64_t number = 0; number < 400; ++number) {
    MatchReview review = review_match(tools, random_race(race_of_three(), number));
    look_ahead(tools, review);
    depth.settings.seed = 1000 * number;
    roll_out_dear_turns(tools, roller, depth, review);
    double told = 0.0;
    double really = 0.0;
    for (const ReviewedTurn& turn : review.games[0].turns) {
      if (turn.judged_by != JudgedBy::kRollout) continue;
      told += turn.cost;
      really += true_cost(truth, turn);
    }
    const double half_width = std::hypot(review.totals[0].half_width, review.totals[1].half_width);
    if (half_width == 0.0) continue;
    ++matches;
    held += std::abs(told - really) <= half_width ? 1 : 0;
    error += told - really;
    square += (told - really) * (told - really);
  }
  INFO(held << " of " << matches << ", mean error " << error / matches);
  REQUIRE(matches > 100);
  CHECK(held >= 0.95 * matches - 2.0 * std::sqrt(matches * 0.05 * 0.95));
  CHECK(std::abs(error) <= 2.0 * std::sqrt(square));
}

}  // namespace sixfold
