// An opponent who plays by an evaluator of his own: who chooses what, and that nothing else
// changes.
#include <algorithm>
#include <catch2/catch.hpp>

#include "evaluator/network_fixtures.h"
#include "exact/bear_off_tables.h"
#include "rollout/cube_game.h"
#include "rollout/small_race.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

constexpr const char* kContact = "24 13x3 8x2 6x4 5x3 4x2 / 22x2 13x3 8x3 6x4 5x3";

NetworkEvaluator network_of(unsigned seed) {
  return NetworkEvaluator(Networks{modest_network(64, seed), modest_network(64, seed + 1)},
                          best_instruction_set(), bear_off_tables());
}

CubeRules money_rules(const MoneyRules& rules = {}) {
  return {money_score(), Cube{}, rules, bear_off_tables().two_sided};
}

/// An outlook with this chance to win, a fifth of wins and losses being gammons.
Outlook chance_of(double wins) {
  Outlook outlook;
  outlook.outcomes.probability = {0.0,        0.2 * (1.0 - wins), 0.8 * (1.0 - wins),
                                  0.8 * wins, 0.2 * wins,         0.0};
  outlook.lives = {0.5, 0.5};
  return outlook;
}

CubeAction action_at(double wins) {
  const Outlook outlook = chance_of(wins);
  return money_rules()
      .decide(parse_position(kContact), outlook.outcomes, outlook.lives, {}, CubeSide::kPlayer)
      .action;
}

/// Where the cube is, or that the game is over, after `side` has decided: chances are those of the
/// side on roll, as the player and as the opponent see them.
struct Decided {
  bool is_over;
  CubeState state;
  double passes_won;  ///< By the player, less those lost.
};
Decided decided(double players, double opponents, CubeSide side, const MoneyRules& rules = {}) {
  static const NetworkEvaluator kEvaluator = network_of(1);
  const CubeRules cube = money_rules(rules);
  CubeGame game(cube, kEvaluator, {});
  const Outlook his = chance_of(opponents);
  game.decide(parse_position(kContact), chance_of(players), side, true, &his);
  const bool is_over = game.is_over();
  if (!is_over) game.end(certain(Outcome::kWinSingle));
  const CubeResults ends = game.means().outcomes;
  return {is_over, game.state(), ends.at[0][kPassWon] - ends.at[0][kPassLost]};
}

}  // namespace

TEST_CASE("Each side doubles and answers as it sees the position itself") {
  REQUIRE(action_at(0.5) == CubeAction::kNoDouble);
  REQUIRE(action_at(0.7) == CubeAction::kDoubleTake);
  REQUIRE(action_at(0.8) == CubeAction::kDoublePass);
  const CubeState centred{};
  const CubeState with_opponent{1, CubeOwner::kOpponent};
  const CubeState with_player{1, CubeOwner::kRoller};
  // The player is on roll.
  CHECK(decided(0.5, 0.8, CubeSide::kPlayer).state == centred);
  CHECK(decided(0.8, 0.5, CubeSide::kPlayer).state == with_opponent);
  CHECK(decided(0.7, 0.7, CubeSide::kPlayer).state == with_opponent);
  CHECK(decided(0.7, 0.8, CubeSide::kPlayer).passes_won == 1.0);
  CHECK(decided(0.7, 0.8, CubeSide::kPlayer).is_over);
  // The opponent is.
  CHECK(decided(0.8, 0.5, CubeSide::kOther).state == centred);
  CHECK(decided(0.5, 0.8, CubeSide::kOther).state == with_player);
  CHECK(decided(0.8, 0.7, CubeSide::kOther).passes_won == -1.0);
  // Who is doubled beavers where he is the favourite in his own eyes.
  const MoneyRules beavers{false, true};
  CHECK(decided(0.7, 0.3, CubeSide::kPlayer, beavers).state == CubeState{2, CubeOwner::kOpponent});
  CHECK(decided(0.3, 0.7, CubeSide::kOther, beavers).state == CubeState{2, CubeOwner::kRoller});
}

TEST_CASE("An opponent who plays by the same evaluator changes no bit") {
  const NetworkEvaluator evaluator = network_of(1);
  Problem problem = problem_of(kContact, "31");
  problem.plays.resize(3);
  TrialPlayers against(evaluator);
  against.opponent = &evaluator;
  const auto check = [&](const RolloutSettings& settings, const std::optional<CubeRules>& cube) {
    const RolloutResult alone = roll_out(evaluator, problem, settings, "money", cube);
    const RolloutResult both = roll_out(against, problem, settings, "money", cube);
    REQUIRE(both.plays.size() == alone.plays.size());
    for (std::size_t i = 0; i < alone.plays.size(); ++i) {
      CHECK(both.plays[i].play == alone.plays[i].play);
      CHECK(both.plays[i].equity == alone.plays[i].equity);
      CHECK(both.plays[i].outcomes == alone.plays[i].outcomes);
      CHECK(both.plays[i].by_roll == alone.plays[i].by_roll);
    }
  };
  for (const LuckControl luck : {LuckControl::kNone, LuckControl::kFull}) {
    for (const int truncate : {5, 9}) {
      RolloutSettings settings = settings_of(36);
      settings.luck = luck;
      settings.truncate = truncate;
      check(settings, {});
      check(settings, money_rules());
      check(settings, money_rules({true, true}));
    }
  }
  RolloutSettings ahead = settings_of(36);
  ahead.lookahead = 1;
  ahead.truncate = 3;
  check(ahead, {});
  check(ahead, money_rules());
}

TEST_CASE("An opponent who plays by another evaluator changes what comes of the same dice") {
  const NetworkEvaluator evaluator = network_of(1);
  const NetworkEvaluator other = network_of(3);
  Problem problem = problem_of(kContact, "31");
  problem.plays.resize(1);
  TrialPlayers against(evaluator);
  against.opponent = &other;
  TrialPlayers turned(other);
  turned.opponent = &evaluator;
  const auto equity = [&](const TrialPlayers& players) {
    RolloutSettings settings = settings_of(36);
    settings.truncate = 8;
    return roll_out(players, problem, settings).plays[0].equity.mean;
  };
  CHECK(equity(against) != equity(evaluator));
  CHECK(equity(against) != equity(other));
  CHECK(equity(against) != equity(turned));
}

}  // namespace sixfold
