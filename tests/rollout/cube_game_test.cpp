#include "rollout/cube_game.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <memory>

#include "evaluator/network_fixtures.h"
#include "exact/bear_off_tables.h"
#include "rollout/small_race.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

constexpr const char* kContact = "24 13x3 8x2 6x4 5x3 4x2 / 22x2 13x3 8x3 6x4 5x3";

const Evaluator& evaluator() {
  static const NetworkEvaluator kEvaluator(Networks{modest_network(64, 1), modest_network(64, 2)},
                                           best_instruction_set(), bear_off_tables());
  return kEvaluator;
}

/// Some of the plays of a roll in full contact.
Problem contact(const char* dice) {
  Problem problem = problem_of(kContact, dice);
  problem.plays.resize(3);
  return problem;
}

CubeRules rules_at(const char* score, const char* cube = "centred", const MoneyRules& rules = {}) {
  return {parse_score(score, own_match_equities()), parse_cube(cube), rules,
          bear_off_tables().two_sided};
}

RolloutResult with_cube(const Problem& problem, const CubeRules& rules, const char* score,
                        const RolloutSettings& settings = settings_of(144)) {
  return roll_out(evaluator(), problem, settings, score, rules);
}

const RolledPlay& same_play(const RolloutResult& result, const RolledPlay& play) {
  const auto found = std::find_if(result.plays.begin(), result.plays.end(),
                                  [&](const RolledPlay& other) { return other.play == play.play; });
  REQUIRE(found != result.plays.end());
  return *found;
}

}  // namespace

TEST_CASE("where the cube is dead, equity with it is that of the outcomes") {
  const Problem problem = contact("31");
  for (const char* score : {"dmp", "gammon-go", "gammon-save"}) {
    for (const bool luck : {false, true}) {
      const CubeRules rules = rules_at(score);
      RolloutSettings settings = settings_of(72);
      if (!luck) settings.luck = LuckControl::kNone;
      const RolloutResult without = roll_out(evaluator(), problem, settings, score);
      for (const RolledPlay& play : with_cube(problem, rules, score, settings).plays) {
        const RolledPlay& other = same_play(without, play);
        INFO(score << ", play " << play_text(problem.position, parse_roll("31"), play.play));
        CHECK(play.outcomes == other.outcomes);
        CHECK(play.cube->cubeless_equity == other.equity);
        // With luck control other errors are left: luck with the cube is of proper outcomes.
        const double margin = luck ? other.equity.half_width : 1e-12;
        CHECK(std::abs(play.equity.mean - other.equity.mean) <= margin);
      }
    }
  }
}

TEST_CASE("ends and points are distributions, and are worth the equity") {
  const CubeRules rules = rules_at("money", "roller:2");
  for (const bool luck : {false, true}) {
    RolloutSettings settings = settings_of(144);
    if (!luck) settings.luck = LuckControl::kNone;
    for (const RolledPlay& play : with_cube(contact("31"), rules, "money", settings).plays) {
      double ends = 0.0;
      double points = 0.0;
      double worth = 0.0;
      double slack = 1e-12;
      for (const RolledCube::End& end : play.cube->ends) ends += end.share.mean;
      for (const RolledCube::Points& one : play.cube->points) {
        points += one.share.mean;
        worth += one.points * one.share.mean;
        CHECK(one.share.mean >= 0.0);
      }
      // What is below zero is taken from the likeliest.
      if (luck) slack = 3.0 * play.equity.half_width;
      CHECK(ends == Approx(1.0));
      CHECK(points == Approx(1.0));
      CHECK(std::abs(worth - play.equity.mean) <= slack);
    }
  }
}

TEST_CASE("threads do not change a rollout with the cube") {
  const CubeRules rules = rules_at("3-away/5-away");
  const RolloutSettings settings = settings_of(72);
  const RolloutResult one = with_cube(contact("52"), rules, "3-away/5-away", settings);
  ThreadRunner runner(3);
  const RolloutResult three =
      roll_out(evaluator(), contact("52"), settings, runner, "3-away/5-away", rules);
  REQUIRE(one.plays.size() == three.plays.size());
  for (std::size_t i = 0; i < one.plays.size(); ++i) {
    CHECK(one.plays[i].equity == three.plays[i].equity);
    CHECK(one.plays[i].cost == three.plays[i].cost);
    CHECK(one.plays[i].cube->added == three.plays[i].cube->added);
  }
}

TEST_CASE("with exact luck, bear-offs come out as the two-sided table has them") {
  const Problem problem = problem_of("6 5 3x2 / 6x2 4 2", "21");
  for (const char* cube : {"centred", "roller:2", "opponent:4"}) {
    const CubeRules rules = rules_at("money", cube);
    for (const RolledPlay& play : with_cube(problem, rules, "money", settings_of(36)).plays) {
      const Position after = position_after(problem.position, play.play);
      INFO(cube << ", " << play_text(problem.position, parse_roll("21"), play.play));
      CHECK(play.equity.mean ==
            Approx(*rules.exact_equity(after, rules.start(), CubeSide::kOther)).margin(1e-4));
      CHECK(play.equity.half_width < 1e-3);
    }
  }
}

TEST_CASE("rolled-out doubles agree with exact ones") {
  const Position position = parse_position("6x3 / 6x3");
  const CubeRules rules = rules_at("money");
  const TwoSidedTable::Entry& entry = bear_off_tables().two_sided->entry(position);
  RolloutSettings settings = settings_of(144);
  ThreadRunner runner;
  const auto rolled = roll_out_double(evaluator(), position, rules, settings, runner);
  REQUIRE(rolled);
  // Published: Jacoby & Crawford, The Backgammon Book, 1970, recomputed exactly: .588582, .751454.
  CHECK(rolled->no_double.equity.mean == Approx(entry.hold_centred).margin(1e-4));
  CHECK(rolled->double_take->equity.mean == Approx(.751454).margin(1e-4));
  settings.known_ends = false;
  settings.make_plain();
  settings.trials = 20736;
  const auto plain = roll_out_double(evaluator(), position, rules, settings, runner);
  REQUIRE(plain);
  CHECK(std::abs(plain->no_double.equity.mean - entry.hold_centred) <
        2.0 * plain->no_double.equity.half_width);
  CHECK(std::abs(plain->double_take->equity.mean - .751454) <
        2.0 * plain->double_take->equity.half_width);
}

TEST_CASE("nobody doubles out of turn, and a beaver turns the cube twice") {
  const RolloutSettings settings = settings_of(36);
  ThreadRunner runner;
  const CubeRules theirs = rules_at("money", "opponent:2");
  CHECK_FALSE(roll_out_double(evaluator(), parse_position(kContact), theirs, settings, runner)
                  ->double_take);
  const CubeRules beavers = rules_at("money", "centred", {false, true});
  const auto bad =
      roll_out_double(evaluator(), parse_position("6x4 / 2"), beavers, settings, runner);
  REQUIRE(bad->double_take);
  // The opponent wins at four times the stake unless the roller throws double six.
  CHECK(bad->double_take->equity.mean == Approx(-4.0 * 34.0 / 36.0).margin(1e-9));
}

TEST_CASE("luck with the cube has mean zero over the dice") {
  const CubeRules rules = rules_at("money");
  const Position position = parse_position(kContact);
  const FullControl control(evaluator());
  ChoiceScratch scratch;
  const LuckOfRolls luck = control.luck_of_rolls(position, kMoneyWorth, scratch);
  for (const bool exact : {false, true}) {
    const Position from = exact ? parse_position("6 5 3x2 / 6x2 4 2") : position;
    CubeResults mean;
    for (const Roll roll : kRolls) {
      CubeGame game(rules, evaluator(), {1, CubeOwner::kRoller});
      game.decide(from, evaluator().evaluate_with_cube(from), CubeSide::kOther, true);
      exact ? game.take_exact_luck(from, roll, CubeSide::kOther)
            : game.take_luck(luck, roll, CubeSide::kOther);
      game.end(certain(Outcome::kWinSingle));
      CubeResults of_roll = game.means().luck;
      of_roll *= roll.weight() / 36.0;
      mean += of_roll;
    }
    for (const auto& ends : mean.at) {
      for (const double value : ends) CHECK(std::abs(value) < 1e-14);
    }
  }
}

}  // namespace sixfold
