#include "equity/cube_rules.h"

#include <catch2/catch.hpp>
#include <memory>
#include <vector>

#include "base/input_error.h"
#include "base/workers.h"
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
            const CubeDecision decision = rules.decide(kContact, outcomes, state, side);
            const CubeResults outlook = rules.outlook(outcomes, false, state, side);
            INFO(score << ", wins " << wins << ", turns " << turns);
            CHECK(sum_of(outlook) == Approx(1.0));
            // Equity for each unit of the cube as it is now, on the scale of the first one.
            const auto& ends = rules.worth().at[turns];
            const double middle = (ends[kPassWon] + ends[kPassLost]) / 2.0;
            const double unit = (ends[kPassWon] - ends[kPassLost]) / 2.0;
            const double sign = side == CubeSide::kPlayer ? 1.0 : -1.0;
            CHECK(worth_of(outlook, rules.worth()) ==
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
        rules.outlook(outcomes_of(wins), false, {1, CubeOwner::kRoller}, CubeSide::kPlayer);
    const CubeResults opponent =
        rules.outlook(outcomes_of(wins), false, {1, CubeOwner::kOpponent}, CubeSide::kOther);
    CHECK(reversed(roller) == opponent);
  }
}

TEST_CASE("nobody doubles at 64 times the present cube, nor beyond the match") {
  const CubeRules money = rules_at("money", "roller:2");
  const OutcomeDistribution good = outcomes_of(0.72);
  CHECK(money.decide(kContact, good, {5, CubeOwner::kRoller}, CubeSide::kPlayer).double_take);
  CHECK_FALSE(money.decide(kContact, good, {6, CubeOwner::kRoller}, CubeSide::kPlayer).double_take);
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
  CHECK(rules.decide(position, unused, {0, CubeOwner::kCentred}, CubeSide::kPlayer).action ==
        CubeAction::kDoubleTake);
  CHECK(rules.decide(position, unused, {1, CubeOwner::kRoller}, CubeSide::kPlayer).action ==
        CubeAction::kNoDouble);
  CHECK(rules.decide(position, unused, {1, CubeOwner::kOpponent}, CubeSide::kOther).action ==
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
                               .decide(kContact, outcomes_of(0.3), {}, CubeSide::kPlayer);
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
