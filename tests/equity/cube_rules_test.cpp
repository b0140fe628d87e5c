#include "equity/cube_rules.h"

#include <catch2/catch.hpp>
#include <memory>
#include <vector>

#include "base/input_error.h"
#include "base/workers.h"
#include "equity/cube_ends.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

const Position kContact = parse_position("24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5");

std::shared_ptr<const TwoSidedTable> table() {
  static const auto kTable = [] {
    Workers workers(2);
    return std::make_shared<const TwoSidedTable>(workers);
  }();
  return kTable;
}

CubeRules rules_at(const char* score, const char* cube = "centred", const MoneyRules& rules = {}) {
  return {parse_score(score, own_match_equities()), parse_cube(cube), rules, table()};
}

/// Outcomes with this chance to win and a quarter of gammons, a few backgammons among them.
OutcomeDistribution outcomes_of(double wins) {
  const double losses = 1.0 - wins;
  return {{0.02 * losses, 0.23 * losses, 0.75 * losses, 0.75 * wins, 0.23 * wins, 0.02 * wins}};
}

constexpr CubeLives kLives{0.9, 0.6, 0.8, 0.5};

/// What follows from outcomes of `side`, who is about to decide, for kPlayer.
CubeResults outlook(const CubeRules& rules, const OutcomeDistribution& outcomes,
                    const CubeState& state, CubeSide side, const CubeLives& lives = kLives) {
  CubeResults results;
  CubeEnds(rules.lines(outcomes, lives, state, side), outcomes)
      .add_to(results, 1.0, outcomes, state.turns);
  return side == CubeSide::kPlayer ? results : reversed(results);
}

double sum_of(const CubeResults& results) {
  double sum = 0.0;
  for (const auto& ends : results.at) {
    for (const double probability : ends) sum += probability;
  }
  return sum;
}

}  // namespace

TEST_CASE("an outlook is worth what the cube model says, for both sides and all owners") {
  for (const char* score : {"money", "dmp", "gammon-go", "3-away/5-away", "2-away/2-away",
                            "1-away/4-away post-crawford", "9-away/7-away"}) {
    const CubeRules rules = rules_at(score);
    for (const CubeOwner owner : {CubeOwner::kCentred, CubeOwner::kRoller, CubeOwner::kOpponent}) {
      for (const std::size_t turns : {0u, 1u}) {
        if (!rules.may_end({}, turns, 0)) continue;
        for (const CubeSide side : {CubeSide::kPlayer, CubeSide::kOther}) {
          for (double wins = 0.0; wins <= 1.0; wins += 0.05) {
            const CubeState state{turns, owner};
            const OutcomeDistribution outcomes = outcomes_of(wins);
            const CubeDecision decision = rules.decide(kContact, outcomes, kLives, state, side);
            const CubeResults ends_seen = outlook(rules, outcomes, state, side);
            INFO(score << ", wins " << wins << ", turns " << turns);
            CHECK(sum_of(ends_seen) == Approx(1.0));
            // Equity for each unit of the cube as it is now, on the scale of the first one.
            const auto& ends = rules.worth().at[turns];
            const double middle = (ends[kPassWon] + ends[kPassLost]) / 2.0;
            const double unit = (ends[kPassWon] - ends[kPassLost]) / 2.0;
            const double sign = side == CubeSide::kPlayer ? 1.0 : -1.0;
            CHECK(worth_of(ends_seen, rules.worth()) ==
                  Approx(middle + sign * unit * decision.equity()).margin(1e-12));
          }
        }
      }
    }
  }
}

TEST_CASE("the other side's outlook is the mirror image at money") {
  const CubeRules rules = rules_at("money");
  for (const double wins : {0.1, 0.4, 0.6, 0.75, 0.9}) {
    const CubeResults roller =
        outlook(rules, outcomes_of(wins), {1, CubeOwner::kRoller}, CubeSide::kPlayer);
    const CubeResults opponent =
        outlook(rules, outcomes_of(wins), {1, CubeOwner::kOpponent}, CubeSide::kOther);
    CHECK(reversed(roller) == opponent);
  }
}

TEST_CASE("ends made for a position serve for outcomes near its own") {
  for (const char* score : {"money", "3-away/5-away"}) {
    const CubeRules rules = rules_at(score);
    const OutcomeDistribution here = outcomes_of(0.6);
    const CubeLines lines = rules.lines(here, kLives, {}, CubeSide::kPlayer);
    const CubeEnds ends(lines, here);
    for (const double wins : {0.3, 0.55, 0.64, 0.7, 0.85}) {
      OutcomeDistribution near = outcomes_of(wins);
      near[4] += 0.01;  // other gammons, too
      near[3] -= 0.01;
      CubeResults results;
      ends.add_to(results, 1.0, near, 0);
      CHECK(sum_of(results) == Approx(1.0));
      CHECK(worth_of(results, rules.worth()) == Approx(lines.decide(near).equity()).margin(1e-12));
    }
  }
}

TEST_CASE("a play is worth what the opponent's decision leaves of it") {
  const CubeRules money = rules_at("money");
  const Position after = parse_position("24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5");
  const OutcomeDistribution mine = outcomes_of(0.3);
  const CubeDecision his = money.decide(after, reversed(mine), reversed(kLives),
                                        {1, CubeOwner::kOpponent}, CubeSide::kOther);
  for (const CubeSide side : {CubeSide::kPlayer, CubeSide::kOther}) {
    const CubeOwner owner = side == CubeSide::kPlayer ? CubeOwner::kOpponent : CubeOwner::kRoller;
    CHECK(money.worth_of_play(after, mine, kLives, {1, owner}, side) ==
          Approx(-2.0 * his.equity()));
  }
  // A pass is a single game, however many gammons there are.
  CHECK(money.worth_of_play(after, outcomes_of(0.19), kLives, {}, CubeSide::kPlayer) ==
        Approx(-1.0));
  const Position over = parse_position("6x2 / ");
  CHECK(money.worth_of_play(over, certain(Outcome::kWinGammon), kLives, {1, CubeOwner::kRoller},
                            CubeSide::kPlayer) == Approx(4.0));
  const Position exact = parse_position("5 2 / 4 1");
  CHECK(money.worth_of_play(exact, mine, kLives, {1, CubeOwner::kRoller}, CubeSide::kPlayer) ==
        Approx(-2.0 * table()->entry(exact).opponents));
}

TEST_CASE("nobody doubles at 64 times the present cube, nor beyond the match") {
  const CubeRules money = rules_at("money", "roller:2");
  const OutcomeDistribution good = outcomes_of(0.72);
  CHECK(
      money.decide(kContact, good, kLives, {5, CubeOwner::kRoller}, CubeSide::kPlayer).double_take);
  CHECK_FALSE(
      money.decide(kContact, good, kLives, {6, CubeOwner::kRoller}, CubeSide::kPlayer).double_take);
  CHECK(money.may_end({}, 6, 0));
  CHECK_FALSE(money.may_end({}, 6, kPassWon));
  const CubeRules match = rules_at("2-away/2-away");
  CHECK(match.may_end({}, 1, 0));
  CHECK_FALSE(match.may_end({}, 1, kPassWon));
  CHECK_FALSE(match.may_end({}, 2, 0));
  CHECK_FALSE(rules_at("gammon-go").may_end({}, 0, kPassWon));
}

TEST_CASE("bear-offs of the table are doubled as it says") {
  const CubeRules rules = rules_at("money");
  const Position position = parse_position("5 2 / 4 1");
  REQUIRE(rules.is_exact(position));
  // Jacoby's paradox: a centred cube is turned, an owned one is held.
  const OutcomeDistribution unused = outcomes_of(0.5);
  CHECK(
      rules.decide(position, unused, kLives, {0, CubeOwner::kCentred}, CubeSide::kPlayer).action ==
      CubeAction::kDoubleTake);
  CHECK(rules.decide(position, unused, kLives, {1, CubeOwner::kRoller}, CubeSide::kPlayer).action ==
        CubeAction::kNoDouble);
  CHECK(
      rules.decide(position, unused, kLives, {1, CubeOwner::kOpponent}, CubeSide::kOther).action ==
      CubeAction::kNoDouble);
  const TwoSidedTable::Entry& entry = table()->entry(position);
  CHECK(*rules.exact_equity(position, {2, CubeOwner::kRoller}, CubeSide::kPlayer) ==
        4.0 * entry.owned);
  CHECK(*rules.exact_equity(position, {1, CubeOwner::kRoller}, CubeSide::kOther) ==
        -2.0 * entry.opponents);
  CHECK_FALSE(rules_at("3-away/5-away").is_exact(position));
  CHECK_FALSE(rules_at("money", "centred", {false, true}).is_exact(position));
}

TEST_CASE("gammons do not count by the Jacoby rule until the cube is turned") {
  const CubeRules rules = rules_at("money", "centred", {true, false});
  const auto gammon = static_cast<std::size_t>(Outcome::kWinGammon);
  CHECK(rules.worth().at[0][gammon] == 1.0);
  CHECK(rules.points(0, gammon) == 1);
  CHECK(rules.worth().at[1][gammon] == 4.0);
  CHECK(rules.points(1, gammon) == 4);
  CHECK(rules.outcome_worth()[gammon] == 2.0);
  const CubeRules turned = rules_at("money", "roller:2", {true, false});
  CHECK(turned.worth().at[0][gammon] == 2.0);
  CHECK(turned.points(0, gammon) == 2);
}

TEST_CASE("a double that is a mistake is beavered where that is allowed") {
  const MoneyRules beavers{false, true};
  const CubeDecision bad = rules_at("money", "centred", beavers)
                               .decide(kContact, outcomes_of(0.3), kLives, {}, CubeSide::kPlayer);
  CHECK(bad.is_beavered);
  const CubeState after = CubeRules::turned({}, CubeSide::kPlayer, true);
  CHECK(after == CubeState{2, CubeOwner::kOpponent});
  CHECK(CubeRules::turned({1, CubeOwner::kOpponent}, CubeSide::kOther, false) ==
        CubeState{2, CubeOwner::kRoller});
}

TEST_CASE("a cube that the score does not allow is refused") {
  CHECK_THROWS_WITH(rules_at("dmp", "centred", {true, false}), Catch::Contains("Jacoby"));
  CHECK_THROWS_WITH(rules_at("gammon-go", "roller:2"), Catch::Contains("Crawford"));
  CHECK_THROWS_WITH(rules_at("3-away/3-away", "opponent:8"), Catch::Contains("beyond the match"));
}

}  // namespace sixfold
