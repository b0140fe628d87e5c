#include "rollout/choice.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <random>

#include "evaluator/network_file.h"
#include "rollout/small_race.h"
#include "rules/notation.h"
#include "rules/start.h"

namespace sixfold {
namespace {

/// Likes to have many checkers on the board, whatever comes of it.
class HoardingEvaluator final : public Evaluator {
 public:
  [[nodiscard]] OutcomeDistribution evaluate(const Position& position) const noexcept override {
    if (const auto result = game_result(position)) return certain(*result);
    const double win = 0.5 + 0.02 * (position.opponent.borne_off() - position.roller.borne_off());
    OutcomeDistribution outcomes;
    outcomes[2] = 1.0 - win;
    outcomes[3] = win;
    return outcomes;
  }
  void evaluate_children(const Position& parent, std::span<const PlayKey> plays,
                         std::span<OutcomeDistribution> outcomes) const noexcept override {
    for (std::size_t i = 0; i < plays.size(); ++i) {
      outcomes[i] = reversed(evaluate(position_after(parent, plays[i])));
    }
  }
};

/// Any values at all, the same for the same position.
class ArbitraryEvaluator final : public Evaluator {
 public:
  [[nodiscard]] OutcomeDistribution evaluate(const Position& position) const noexcept override {
    if (const auto result = game_result(position)) return certain(*result);
    std::mt19937_64 random(
        static_cast<std::uint64_t>(position.roller.bits() * 31 + position.opponent.bits() * 1009));
    OutcomeDistribution outcomes;
    double sum = 0.0;
    for (double& share : outcomes.probability) sum += share = static_cast<double>(random() >> 40);
    return outcomes *= 1.0 / sum;
  }
  void evaluate_children(const Position& parent, std::span<const PlayKey> plays,
                         std::span<OutcomeDistribution> outcomes) const noexcept override {
    for (std::size_t i = 0; i < plays.size(); ++i) {
      outcomes[i] = reversed(evaluate(position_after(parent, plays[i])));
    }
  }
};

/// The roller's worth before the opponent's dice, who answers each roll with the play that is worst
/// for the roller by the evaluator.
double worth_before_replies(const Evaluator& evaluator, const Position& after,
                            const OutcomeWorth& worth) {
  if (game_over(after)) return worth_of(reversed(evaluator.evaluate(after)), worth);
  double mean = 0.0;
  for (const Roll roll : kRolls) {
    PlayList replies;
    generate_plays(after, roll, replies);
    double least = 10.0;
    for (const PlayKey reply : replies) {
      least = std::min(least, worth_of(evaluator.evaluate(position_after(after, reply)), worth));
    }
    mean += least * roll.weight() / 36.0;
  }
  return mean;
}

}  // namespace

TEST_CASE("The best play is the one that the evaluator values most at the score") {
  const Position position = parse_position("6 5 2 / 6 4 3", 3);
  const SmallRace race(position);
  ChoiceScratch scratch;
  for (const char* score : {"money", "gammon-go", "gammon-save"}) {
    const OutcomeWorth worth = parse_score(score, own_match_equities()).worth;
    for (const Roll roll : kRolls) {
      const Choice choice = best_play(race, position, roll, worth, scratch);
      CHECK(choice.outcomes == race.truth_after(position, choice.play));
      PlayList plays;
      generate_plays(position, roll, plays);
      CHECK(plays.contains(choice.play));
      for (const PlayKey other : plays) {
        CHECK(worth_of(choice.outcomes, worth) >=
              worth_of(race.truth_after(position, other), worth));
      }
    }
  }
}

TEST_CASE("The mean over the 21 best plays weighs doubles by one and other rolls by two") {
  const Position position = parse_position("5 2 / 1");
  const SmallRace race(position);
  ChoiceScratch scratch;
  const BestPlays plays = best_plays(race, position, kMoneyWorth, scratch);
  // With two checkers on 5 and 2, nineteen rolls of 36 bear both off (any table of one-roll
  // chances; recomputed).
  CHECK(plays.mean().win_probability() == Approx(19.0 / 36.0));
  for (const Roll roll : kRolls) {
    INFO(roll_text(roll));
    const Choice& choice = plays.of_roll[static_cast<std::size_t>(roll.index())];
    CHECK(choice.outcomes == race.truth_after(position, choice.play));
  }
}

TEST_CASE("A roll of lookahead sees what the static value is blind to") {
  // The opponent bears off his last checker whatever he rolls: a checker must come off now.
  const Position position = parse_position("5 3 / 1", 2);
  const HoardingEvaluator evaluator;
  const Roll roll = parse_roll("32");
  ChoiceScratch scratch;
  const auto borne_off = [&](PlayKey play) { return play.mover().borne_off(); };
  CHECK(borne_off(best_play(evaluator, position, roll, kMoneyWorth, scratch).play) == 0);
  CHECK(borne_off(best_play_ahead(evaluator, position, roll, kMoneyWorth, scratch).play) == 1);
}

TEST_CASE("A roll of lookahead chooses among the four statically best plays") {
  const Position position = parse_position("6 5 2 / 6 4 3", 3);
  const SmallRace exact(position);
  ChoiceScratch scratch;
  for (const Roll roll : kRolls) {
    INFO(roll_text(roll));
    const Choice statically = best_play(exact, position, roll, kMoneyWorth, scratch);
    const PlayKey ahead = best_play_ahead(exact, position, roll, kMoneyWorth, scratch).play;
    CHECK(worth_of(exact.truth_after(position, ahead), kMoneyWorth) ==
          Approx(worth_of(statically.outcomes, kMoneyWorth)));
  }
}

TEST_CASE("Each side's plays are looked ahead by its own interest at the score") {
  // Gammons count for one side and not for the other, so that replies by the wrong interest would
  // often change the play.
  const ArbitraryEvaluator evaluator;
  ChoiceScratch scratch;
  int differences = 0;
  for (const char* text : {"9 8 / 7 6", "8 5 / 6 5", "7 2 / 9 3", "6 5 / 8 7"}) {
    const Position position = parse_position(text, 2);
    for (const char* score : {"gammon-go", "gammon-save"}) {
      const OutcomeWorth worth = parse_score(score, own_match_equities()).worth;
      for (const Roll roll : kRolls) {
        PlayList plays;
        generate_plays(position, roll, plays);
        if (plays.size() > kLookaheadPlays) continue;
        double best = -10.0;
        for (const PlayKey play : plays) {
          best = std::max(best,
                          worth_before_replies(evaluator, position_after(position, play), worth));
        }
        const PlayKey ahead = best_play_ahead(evaluator, position, roll, worth, scratch).play;
        INFO(text << ", " << score << ", " << roll_text(roll));
        CHECK(worth_before_replies(evaluator, position_after(position, ahead), worth) ==
              Approx(best));
        differences += ahead == best_play(evaluator, position, roll, worth, scratch).play ? 0 : 1;
      }
    }
  }
  CHECK(differences > 0);
}

TEST_CASE("With the cube the best play is worth most after the opponent's decision") {
  const NetworkFile net = load_network(std::string(SIXFOLD_NETS) + "/standard.safetensors");
  const NetworkEvaluator evaluator(net.networks, best_instruction_set(), {}, net.cube);
  ChoiceScratch scratch;
  int others = 0;
  for (const char* score : {"money", "2-away/4-away"}) {
    const CubeRules rules(parse_score(score, own_match_equities()), {}, {}, nullptr);
    Position position = start_position();
    for (int i = 0; i < 40 && !game_over(position); ++i) {
      for (const CubeSide side : {CubeSide::kPlayer, CubeSide::kOther}) {
        const PlayWorth worth(rules, rules.start(), side);
        const Roll roll = kRolls[static_cast<std::size_t>(5 * i) % kRollCount];
        const Choice choice = best_play(evaluator, position, roll, worth, scratch);
        const auto worth_of_play = [&](PlayKey play) {
          const Position after = position_after(position, play);
          if (game_over(after))
            return worth_of(reversed(evaluator.evaluate(after)), worth.outcomes);
          const Outlook outlook = reversed(evaluator.evaluate_with_cube(after));
          return rules.worth_of_play(after, outlook.outcomes, outlook.lives, {}, side);
        };
        CHECK(choice.worth == Approx(worth_of_play(choice.play)).margin(1e-12));
        PlayList plays;
        generate_plays(position, roll, plays);
        double best = -10.0;
        for (const PlayKey play : plays) best = std::max(best, worth_of_play(play));
        // Plays far behind without the cube are not looked at.
        CHECK(choice.worth >= best - 0.02);
        others += choice.play == best_play(evaluator, position, roll, worth.outcomes, scratch).play
                      ? 0
                      : 1;
      }
      const Roll roll = kRolls[static_cast<std::size_t>(7 * i) % kRollCount];
      position =
          position_after(position, best_play(evaluator, position, roll, kMoneyWorth, scratch).play);
    }
  }
  CHECK(others > 0);
}

TEST_CASE("Of plays that are all passed the one is chosen that is worth most without the cube") {
  const NetworkFile net = load_network(std::string(SIXFOLD_NETS) + "/standard.safetensors");
  const NetworkEvaluator evaluator(net.networks, best_instruction_set(), {}, net.cube);
  const CubeRules rules(money_score(), {}, {}, nullptr);
  ChoiceScratch scratch;
  const Position position = parse_position("6x2 5 / 4x2 3");
  const Roll roll = parse_roll("21");
  const Choice choice =
      best_play(evaluator, position, roll, {rules, {}, CubeSide::kPlayer}, scratch);
  CHECK(choice.worth == Approx(-1.0));
  CHECK(choice.play == best_play(evaluator, position, roll, kMoneyWorth, scratch).play);
}

TEST_CASE("A roll of lookahead with the cube doubles first, and has the replies after that") {
  const NetworkFile net = load_network(std::string(SIXFOLD_NETS) + "/standard.safetensors");
  const NetworkEvaluator evaluator(net.networks, best_instruction_set(), {}, net.cube);
  const CubeRules rules(money_score(), {}, {}, nullptr);
  ChoiceScratch scratch;
  // After any play the opponent, far ahead, doubles and is taken, or is passed.
  const Position position = parse_position("bar 13x2 8x3 6x5 5x2 4 3 / 24 13x4 8x3 6x4 5x2 4");
  const ChosenPlay ahead = best_play_ahead(evaluator, position, parse_roll("42"),
                                           {rules, {}, CubeSide::kPlayer}, scratch);
  REQUIRE(ahead.outlook);
  const Position after = position_after(position, ahead.play);
  CHECK(*ahead.outlook == reversed(evaluator.evaluate_with_cube(after)));
  const CubeDecision his = rules.decide(after, reversed(ahead.outlook->outcomes),
                                        reversed(ahead.outlook->lives), {}, CubeSide::kOther);
  CubeState state;
  if (his.action == CubeAction::kDoubleTake) {
    state = CubeRules::turned(state, CubeSide::kOther, false);
  }
  if (his.action == CubeAction::kDoublePass) {
    CHECK_FALSE(ahead.replies);
  } else {
    REQUIRE(ahead.replies);
    const BestPlays expected =
        best_plays(evaluator, after, {rules, state, CubeSide::kOther}, scratch);
    CHECK(ahead.replies->mean_worth() == expected.mean_worth());
  }
}

TEST_CASE("Where nothing can be played the choice is to stay") {
  const Position position = parse_position("bar 6 / 6x2 5x2 4x2 3x2 2x2 1x2");
  const HoardingEvaluator evaluator;
  ChoiceScratch scratch;
  const Roll roll = parse_roll("31");
  CHECK(best_play(evaluator, position, roll, kMoneyWorth, scratch).play.mover() == position.roller);
  CHECK(best_play_ahead(evaluator, position, roll, kMoneyWorth, scratch).play.mover() ==
        position.roller);
}

}  // namespace sixfold
