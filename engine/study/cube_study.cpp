#include "study/cube_study.h"

#include "rollout/choice.h"
#include "rules/game_result.h"
#include "rules/input_error.h"

namespace sixfold {
namespace {

double share_of(std::size_t roll) noexcept {
  return static_cast<double>(kRolls[roll].weight()) / kDiceOutcomes;
}

/// Answers for the positions of one decision: its score, its cube, its tables.
class Doubling {
 public:
  Doubling(const Evaluator& evaluator, const Score& score, const Cube& cube, bool beavers,
           const TwoSidedTable* table)
      : evaluator_(evaluator), score_(score), cube_(cube), beavers_(beavers), table_(table) {}

  [[nodiscard]] bool is_exact(const Position& position) const {
    return table_ != nullptr && table_->holds(position);
  }

  /// REQUIRES: the game is not over. `outcomes` are those before the dice.
  [[nodiscard]] CubeDecision at(const Position& position,
                                const OutcomeDistribution& outcomes) const {
    const double life = is_race(position) ? kRaceCubeLife : kContactCubeLife;
    CubeDecision decision = cube_decision(outcomes, score_, cube_, life, beavers_);
    if (!is_exact(position)) return decision;
    return exact_decision(table_->entry(position), cube_.owner);
  }

  [[nodiscard]] double market_losers(const Position& position) const {
    const OutcomeWorth worth = cubeless_worth(score_, cube_);
    ChoiceScratch scratch;
    double lost = 0.0;
    const BestPlays rolls = best_plays(evaluator_, position, worth, scratch);
    for (std::size_t r = 0; r < kRollCount; ++r) {
      const Position after = position_after(position, rolls.of_roll[r].play);
      lost += share_of(r) * (game_over(after) ? 1.0 : lost_after(after, worth, scratch));
    }
    return lost;
  }

 private:
  /// The same for the opponent's replies; `position` is his.
  [[nodiscard]] double lost_after(const Position& position, const OutcomeWorth& worth,
                                  ChoiceScratch& scratch) const {
    const BestPlays replies = best_plays(evaluator_, position, opponents_worth(worth), scratch);
    double lost = 0.0;
    for (std::size_t r = 0; r < kRollCount; ++r) {
      const Position after = position_after(position, replies.of_roll[r].play);
      if (game_over(after)) continue;
      const CubeDecision decision = at(after, reversed(replies.of_roll[r].outcomes));
      if (decision.action == CubeAction::kDoublePass || decision.action == CubeAction::kTooGood) {
        lost += share_of(r);
      }
    }
    return lost;
  }

  const Evaluator& evaluator_;
  const Score& score_;
  Cube cube_;
  bool beavers_;
  const TwoSidedTable* table_;
};

}  // namespace

CubeStudy study_cube(const Evaluator& evaluator, const std::string& net, const Decision& decision,
                     const MoneyRules& rules, const ExactTables& tables) {
  if (game_over(decision.position)) {
    throw InputError("the game is over: nobody doubles", "position", "checkers on both sides");
  }
  if (decision.score.match && (rules.jacoby || rules.beavers)) {
    throw InputError("the Jacoby rule and beavers belong to money play", "score", "money");
  }
  const Score score = rules.jacoby ? by_jacoby_rule(decision.score) : decision.score;
  // The table is for money without gammons, where the Jacoby rule changes nothing and beavers are
  // never right after a right double.
  const TwoSidedTable* table =
      decision.score.match || rules.beavers ? nullptr : tables.two_sided.get();
  const Doubling doubling(evaluator, score, decision.cube, rules.beavers, table);
  CubeStudy study{decision, rules, net, evaluator.evaluate(decision.position), {}, {}, {}};
  study.equities = doubling.at(decision.position, study.outcomes);
  study.is_exact = doubling.is_exact(decision.position);
  if (study.equities.double_take) {
    study.market_losers = doubling.market_losers(decision.position);
  }
  return study;
}

}  // namespace sixfold
