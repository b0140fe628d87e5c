// Rollouts against an opponent who plays by an evaluator of his own: games of few checkers whose
// exact values under both sides' policies an oracle iterates.
#include <catch2/catch.hpp>
#include <cmath>
#include <string>

#include "oracles/policies_oracle.h"
#include "statistical/coverage.h"

namespace sixfold {
namespace {

/// Two-sided 99.9% of the normal distribution (from memory).
constexpr double kSure = 3.29;

/// Plays by what comes into its head, the same for the same position, as far as `share` says, and
/// for the rest by the truth. With `knowing` it claims to know it all, which is wrong.
class WhimsicalEvaluator final : public Evaluator {
 public:
  WhimsicalEvaluator(std::uint64_t whim, double share, bool knowing = false)
      : whim_(whim), share_(share), knowing_(knowing) {}
  [[nodiscard]] OutcomeDistribution evaluate(const Position& position) const noexcept override {
    if (const auto result = game_result(position)) return certain(*result);
    const unsigned possible = possible_outcomes(position);
    std::uint64_t hash = position_hash(position) ^ whim_;
    OutcomeDistribution outcomes;
    double sum = 0.0;
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      hash = (hash ^ hash >> 31) * 0x9e3779b97f4a7c15;
      if ((possible >> o & 1u) == 0) continue;
      outcomes[o] = 0.01 + static_cast<double>(hash >> 40);
      sum += outcomes[o];
    }
    outcomes *= share_ / sum;
    OutcomeDistribution truth = exact_player().evaluate(position);
    truth *= 1.0 - share_;
    outcomes += truth;
    return outcomes;
  }
  void evaluate_children(const Position& parent, std::span<const PlayKey> plays,
                         std::span<OutcomeDistribution> outcomes) const noexcept override {
    for (std::size_t i = 0; i < plays.size(); ++i) {
      outcomes[i] = reversed(evaluate(position_after(parent, plays[i])));
    }
  }
  [[nodiscard]] std::optional<OutcomeDistribution> known(
      const Position& position) const noexcept override {
    return knowing_ ? evaluate(position) : Evaluator::known(position);
  }

 private:
  std::uint64_t whim_;
  double share_;
  bool knowing_;
};

/// What an evaluator takes a position to be worth to the player who has just played to it.
oracle::PolicyWorth policy_of(const Evaluator& evaluator) {
  return [&evaluator](const Position& after) {
    return worth_of(reversed(evaluator.evaluate(after)), kMoneyWorth);
  };
}

/// A position with one play to be rolled out, and what comes of it.
struct Game {
  std::string name;
  Position position;
  PlayKey play;
  OutcomeDistribution truth;  ///< For the player who makes the play.
};

Game game_of(const char* position, const char* dice, const char* play, const Evaluator& player,
             const Evaluator& opponent) {
  Game game{position, parse_position(position, 2), {}, {}};
  game.play = parse_play(game.position, parse_roll(dice), play);
  const oracle::PolicyGame truth = oracle::between(position_after(game.position, game.play), false,
                                                   policy_of(player), policy_of(opponent));
  REQUIRE(truth.positions > 1000);
  REQUIRE(truth.between_equals < 1e-9);  // Or the order of plays would matter.
  game.truth.probability = truth.outcomes;
  return game;
}

/// The roller against one checker, and one checker of his against two.
std::vector<Game> games_between(const Evaluator& player, const Evaluator& opponent) {
  return {game_of("24 20 / 18", "41", "24/20 20/19", player, opponent),
          game_of("18 / 24 20", "41", "18/13", player, opponent)};
}

struct Players {
  WhimsicalEvaluator own{1, 0.2};
  WhimsicalEvaluator opponent{2, 1.0};
  FullControl own_luck{own};
  NetworkLuck network_luck{random_luck_networks()};
};

const Players& players() {
  static const Players kPlayers;
  return kPlayers;
}

constexpr std::array kLuck{LuckControl::kNone, LuckControl::kFull, LuckControl::kEstimated};

RolledPlay rolled(const Game& game, const RolloutSettings& settings,
                  const std::optional<CubeRules>& cube = {}) {
  TrialPlayers those(players().own, &players().network_luck);
  those.opponent = &players().opponent;
  ThreadRunner runner(available_threads());
  return roll_out(those, game.position, {{game.play}}, money_score(), settings, runner, cube)
      .plays[0];
}

}  // namespace

TEST_CASE("The oracle of policies agrees with the solved game where both sides play it") {
  const Evaluator& exact = exact_player();
  const Position position = parse_position("24 20 / 18", 2);
  const oracle::PolicyGame game =
      oracle::between(position, true, policy_of(exact), policy_of(exact));
  const OutcomeDistribution truth = exact.evaluate(position);
  for (std::size_t o = 0; o < kOutcomeCount; ++o) {
    INFO(o);
    CHECK(game.outcomes[o] == Approx(truth[o]).margin(1e-5));
  }
}

TEST_CASE("What the opponent plays by makes a difference that rollouts can see") {
  const std::vector<Game> alike = games_between(players().own, players().own);
  const std::vector<Game> weak = games_between(players().own, players().opponent);
  for (std::size_t i = 0; i < weak.size(); ++i) {
    CHECK(worth_of(weak[i].truth, kMoneyWorth) - worth_of(alike[i].truth, kMoneyWorth) > 0.03);
  }
}

TEST_CASE("Rollouts against a weak opponent come to the exact values of both sides' policies") {
  for (const Game& game : games_between(players().own, players().opponent)) {
    for (const LuckControl luck : kLuck) {
      for (const bool stratified : {false, true}) {
        RolloutSettings settings;
        settings.trials = 18000;
        settings.luck = luck;
        settings.stratified = stratified;
        const RolledPlay play = rolled(game, settings);
        INFO(game.name << ", luck " << static_cast<int>(luck) << ", stratified " << stratified);
        const double truth = worth_of(game.truth, kMoneyWorth);
        INFO("equity " << play.equity.mean << " ± " << play.equity.standard_error << ", truth "
                       << truth);
        CHECK(std::abs(play.equity.mean - truth) < kSure * play.equity.standard_error);
        for (std::size_t o = 0; o < kOutcomeCount; ++o) {
          const Estimate& outcome = play.outcomes[o];
          CHECK(std::abs(outcome.mean - game.truth[o]) <=
                kSure * std::max(outcome.standard_error, 1.0 / 18000));
        }
      }
    }
  }
}

TEST_CASE("Intervals against a weak opponent hold as often as they say") {
  constexpr int kRollouts = 400;
  for (const Game& game : games_between(players().own, players().opponent)) {
    for (const LuckControl luck : kLuck) {
      int covering = 0;
      RolloutSettings settings;
      settings.trials = 36;
      settings.luck = luck;
      for (settings.seed = 1; settings.seed <= kRollouts; ++settings.seed) {
        const Estimate equity = rolled(game, settings).equity;
        covering += std::abs(equity.mean - worth_of(game.truth, kMoneyWorth)) <= equity.half_width;
      }
      INFO(game.name << ", luck " << static_cast<int>(luck));
      // 99.9% of the binomial distribution at 95%, as in coverage_test.cpp.
      CHECK(covering >= 364);
      CHECK(covering <= 393);
    }
  }
}

TEST_CASE("Taking luck out changes no expectation where an opponent doubles by his own lights") {
  const CubeRules rules(parse_score("3-away/3-away", own_match_equities()), Cube{}, {}, nullptr);
  for (const Game& game : games_between(players().own, players().opponent)) {
    const auto equity = [&](LuckControl luck, std::uint64_t seed) {
      RolloutSettings settings;
      settings.trials = 18000;
      settings.luck = luck;
      settings.seed = seed;
      const RolledPlay play = rolled(game, settings, rules);
      CHECK(std::any_of(play.cube->ends.begin(), play.cube->ends.end(),
                        [](const RolledCube::End& end) { return end.end == kPassLost; }));
      return play.equity;
    };
    const Estimate plain = equity(LuckControl::kNone, 1);
    for (const LuckControl luck : {LuckControl::kFull, LuckControl::kEstimated}) {
      const Estimate adjusted = equity(luck, 2);
      INFO(game.name << ": " << adjusted.mean << " ± " << adjusted.standard_error << ", plain "
                     << plain.mean << " ± " << plain.standard_error);
      CHECK(std::abs(adjusted.mean - plain.mean) <
            kSure * std::hypot(adjusted.standard_error, plain.standard_error));
    }
  }
}

TEST_CASE("Trials go on where the opponent does not know how they end") {
  const WhimsicalEvaluator knowing(3, 0.5, true);
  const Game game = game_of("18 / 24 20", "41", "18/13", knowing, players().opponent);
  TrialPlayers those(knowing);
  RolloutSettings settings;
  settings.trials = 18000;
  settings.luck = LuckControl::kNone;
  const auto equity = [&] {
    ThreadRunner runner(available_threads());
    return roll_out(those, game.position, {{game.play}}, money_score(), settings, runner)
        .plays[0]
        .equity;
  };
  const double truth = worth_of(game.truth, kMoneyWorth);
  CHECK(equity().standard_error < 1e-12);
  CHECK(std::abs(equity().mean - truth) > 0.1);
  those.opponent = &players().opponent;
  CHECK(std::abs(equity().mean - truth) < kSure * equity().standard_error);
}

}  // namespace sixfold
