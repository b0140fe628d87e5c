#include "study/cube_study.h"

#include <cassert>
#include <cmath>

#include "base/input_error.h"
#include "rollout/choice.h"
#include "rules/game_result.h"

namespace sixfold {
namespace {

double share_of(std::size_t roll) noexcept {
  return static_cast<double>(kRolls[roll].weight()) / kDiceOutcomes;
}

/// Looks for sequences after which a double would be passed.
class Market {
 public:
  Market(const Evaluator& evaluator, const CubeRules& rules)
      : evaluator_(evaluator), rules_(rules) {}

  [[nodiscard]] double lost(const Position& position) const {
    ChoiceScratch scratch;
    double lost = 0.0;
    const BestPlays rolls = best_plays(evaluator_, position, worth_to(CubeSide::kPlayer), scratch);
    for (std::size_t r = 0; r < kRollCount; ++r) {
      const Position after = position_after(position, rolls.of_roll[r].play);
      lost += share_of(r) * (game_over(after) ? 1.0 : lost_after(after, scratch));
    }
    return lost;
  }

 private:
  /// The same for the opponent's replies; `position` is his.
  [[nodiscard]] double lost_after(const Position& position, ChoiceScratch& scratch) const {
    const BestPlays replies = best_plays(evaluator_, position, worth_to(CubeSide::kOther), scratch);
    double lost = 0.0;
    for (std::size_t r = 0; r < kRollCount; ++r) {
      const Position after = position_after(position, replies.of_roll[r].play);
      if (game_over(after)) continue;
      const Choice& reply = replies.of_roll[r];
      const CubeDecision decision =
          rules_.decide(after, reversed(reply.outcomes), reversed(*reply.lives), rules_.start(),
                        CubeSide::kPlayer);
      if (decision.action == CubeAction::kDoublePass || decision.action == CubeAction::kTooGood) {
        lost += share_of(r);
      }
    }
    return lost;
  }

  /// What plays are worth while nobody has doubled.
  [[nodiscard]] PlayWorth worth_to(CubeSide side) const noexcept {
    return {rules_, rules_.start(), side};
  }

  const Evaluator& evaluator_;
  const CubeRules& rules_;
};

}  // namespace

CubeStudy static_cube(const Evaluator& evaluator, const Decision& decision,
                      const ExactTables& tables) {
  assert(decision.cube);
  const Position& position = decision.position;
  if (game_over(position)) {
    throw InputError("the game is over: nobody doubles", "position", "checkers on both sides");
  }
  const CubeRules rules = *cube_rules(decision, tables);
  CubeStudy study;
  study.decision = decision;
  const Outlook outlook = evaluator.evaluate_with_cube(position);
  study.outcomes = outlook.outcomes;
  study.is_exact = rules.is_exact(position);
  study.equities =
      study.is_exact
          ? rules.decide(position, outlook.outcomes, outlook.lives, rules.start(),
                         CubeSide::kPlayer)
          : cube_decision(outlook.outcomes, by_money_rules(decision.score, decision.money),
                          *decision.cube, outlook.lives, decision.money.beavers);
  return study;
}

CubeStudy study_cube(const Evaluator& evaluator, const Decision& decision,
                     const ExactTables& tables) {
  CubeStudy study = static_cube(evaluator, decision, tables);
  if (study.equities.double_take) {
    study.market_losers = Market(evaluator, *cube_rules(decision, tables)).lost(decision.position);
  }
  return study;
}

std::optional<CubeMargins> margins_of(const CubeStudy& study) noexcept {
  assert(study.rolled);
  const RolledDouble& rolled = *study.rolled;
  if (!rolled.double_take) return std::nullopt;
  const CubeDecision& found = study.equities;
  CubeMargins margins{rolled.no_double.equity, rolled.double_take->equity};
  margins.taking.mean = *found.double_take - *found.double_pass;
  if (margins.taking.mean < 0.0) {
    margins.doubling = rolled.difference;
  } else {
    margins.doubling.mean = found.no_double - *found.double_pass;
  }
  return margins;
}

OpenQuestions open_questions(const CubeStudy& study) noexcept {
  const std::optional<CubeMargins> margins = margins_of(study);
  if (!margins) return {};
  const auto is_open = [](const Estimate& margin) {
    return std::abs(margin.mean) <= margin.half_width;
  };
  return {is_open(margins->doubling), is_open(margins->taking)};
}

void put_rolled(CubeStudy& study, const RolloutSettings& settings, const RolledDouble& rolled) {
  study.settings = settings;
  study.rolled = rolled;
  for (std::size_t o = 0; o < kOutcomeCount; ++o) {
    study.outcomes[o] = rolled.no_double.outcomes[o].mean;
  }
  study.equities.no_double = rolled.no_double.equity.mean;
  if (!rolled.double_take) return;
  // The difference is known better than either equity.
  study.equities.double_take = study.equities.no_double - rolled.difference.mean;
  study.equities.is_beavered = rolled.is_beavered;
  decide(study.equities);
}

std::optional<CubeStudy> roll_out_cube(const Instruments& instruments, const Decision& decision,
                                       const RolloutSettings& settings) {
  const TrialPlayers& players = instruments.players;
  CubeStudy study = study_cube(players.evaluator, decision, instruments.tables);
  if (study.is_exact) return study;
  const auto rolled =
      roll_out_double(players, decision.position, *cube_rules(decision, instruments.tables),
                      settings, instruments.runner);
  if (!rolled) return std::nullopt;
  put_rolled(study, settings, *rolled);
  return study;
}

}  // namespace sixfold
