#include "study/decision.h"

#include <algorithm>

#include "base/input_error.h"
#include "rules/game_result.h"
#include "rules/plays.h"

namespace sixfold {
namespace {

void require_play(const Decision& decision) {
  if (!decision.roll) {
    throw InputError("no roll to be played", "dice", "two digits from 1 to 6, such as 43");
  }
  if (game_over(decision.position)) {
    throw InputError("the game is over: no roll can be played", "position",
                     "checkers on both sides");
  }
}

}  // namespace

std::optional<CubeRules> cube_rules(const Decision& decision, const ExactTables& tables) {
  if (decision.cube) {
    return CubeRules(decision.score, *decision.cube, decision.money, tables.two_sided);
  }
  if (decision.money.jacoby || decision.money.beavers) {
    throw InputError("the Jacoby rule and beavers are about the cube, which is left out", "cube",
                     "centred, roller:V or opponent:V");
  }
  return std::nullopt;
}

std::optional<double> match_chance(const Decision& decision, double equity) {
  if (!decision.score.match) return std::nullopt;
  return worth_at(stakes_from(decision.score, decision.cube.value_or(Cube())).front(), equity);
}

std::optional<double> match_slope(const Decision& decision) {
  if (!decision.score.match) return std::nullopt;
  return *match_chance(decision, 1.0) - *match_chance(decision, 0.0);
}

std::optional<Estimate> match_chance(const Decision& decision, const Estimate& equity) {
  const std::optional<double> slope = match_slope(decision);
  if (!slope) return std::nullopt;
  return Estimate{*match_chance(decision, equity.mean), *slope * equity.standard_error,
                  *slope * equity.half_width, equity.blocks};
}

Evaluation evaluate_decision(const Evaluator& evaluator, const Decision& decision,
                             const ExactTables& tables) {
  Evaluation evaluation{decision, {}, {}, 0.0, evaluator.method(decision.position), {}};
  const OutcomeWorth& worth = decision.score.worth;
  if (!decision.roll) {
    evaluation.outcomes = evaluator.evaluate(decision.position);
    evaluation.equity = worth_of(evaluation.outcomes, worth);
    evaluation.bear_off = bear_off_facts(tables, decision.position);
    return evaluation;
  }
  require_play(decision);
  PlayList plays;
  generate_plays(decision.position, *decision.roll, plays);
  std::vector<OutcomeDistribution> outcomes(plays.size());
  evaluator.evaluate_children(decision.position, plays.span(), outcomes);
  for (std::size_t i = 0; i < plays.size(); ++i) {
    const Method method = evaluator.method(position_after(decision.position, plays[i]));
    evaluation.plays.push_back({plays[i], outcomes[i], worth_of(outcomes[i], worth), 0.0, method});
  }
  std::stable_sort(
      evaluation.plays.begin(), evaluation.plays.end(),
      [](const EvaluatedPlay& a, const EvaluatedPlay& b) { return a.equity > b.equity; });
  for (EvaluatedPlay& play : evaluation.plays) {
    play.cost = evaluation.plays.front().equity - play.equity;
  }
  return evaluation;
}

RolledDecision roll_out_decision(const Instruments& instruments, const Decision& decision,
                                 const RolloutSettings& settings, const GradeBounds& grades,
                                 const WantedPlays& wanted) {
  require_play(decision);
  PlayList legal;
  generate_plays(decision.position, *decision.roll, legal);
  const std::span<const PlayKey> plays = wanted.alone ? std::span(wanted.named) : legal.span();
  RolledDecision rolled{decision, settings, grades, {}, decision.score.worth};
  std::optional<CubeRules> cube = cube_rules(decision, instruments.tables);
  Score score = decision.score;
  if (cube) {
    rolled.worth = score.worth = cube->outcome_worth();
    // Where nobody can double any more the cube is only the stake.
    if (cube->is_dead(cube->start())) cube.reset();
  }
  rolled.result = roll_out(instruments.players, decision.position, plays, score, settings,
                           instruments.runner, cube, wanted.named);
  return rolled;
}

}  // namespace sixfold
