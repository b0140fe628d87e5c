#include "rollout/choice.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <random>

#include "rollout/small_race.h"
#include "rules/notation.h"

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
