#include "study/decision.h"

#include <algorithm>
#include <utility>

#include "base/input_error.h"
#include "rules/game_result.h"
#include "rules/plays.h"

namespace sixfold {
namespace {

/// What an evaluator says of a decision's position and plays.
class StaticValues {
 public:
  StaticValues(const Evaluator& evaluator, const Decision& decision, const ExactTables& tables)
      : evaluator_(evaluator),
        decision_(decision),
        cube_(cube_rules(decision, tables)),
        worth_(cube_ ? cube_->outcome_worth() : decision.score.worth) {}

  [[nodiscard]] bool is_cube_alive() const noexcept {
    return cube_ && !cube_->is_dead(cube_->start());
  }

  /// Before the dice.
  void add_position(Evaluation& evaluation) const {
    const Position& position = decision_.position;
    const Outlook outlook = evaluator_.evaluate_with_cube(position);
    evaluation.outcomes = outlook.outcomes;
    evaluation.cubeless_equity = worth_of(outlook.outcomes, worth_);
    evaluation.equity = is_cube_alive() ? equity_of(position, outlook, CubeSide::kPlayer)
                                        : evaluation.cubeless_equity;
    evaluation.method = evaluator_.method(position);
    evaluation.is_exact = is_exact(position, evaluation.method);
  }

  [[nodiscard]] std::vector<EvaluatedPlay> plays() const {
    PlayList list;
    generate_plays(decision_.position, *decision_.roll, list);
    std::vector<Outlook> outlooks(list.size());
    evaluator_.evaluate_children_with_cube(decision_.position, list.span(), outlooks);
    std::vector<EvaluatedPlay> plays;
    for (std::size_t i = 0; i < list.size(); ++i) {
      const Position after = position_after(decision_.position, list[i]);
      EvaluatedPlay play{list[i], outlooks[i].outcomes};
      play.cubeless_equity = worth_of(play.outcomes, worth_);
      play.equity = is_cube_alive() ? -equity_of(after, reversed(outlooks[i]), CubeSide::kOther)
                                    : play.cubeless_equity;
      play.method = evaluator_.method(after);
      play.is_exact = is_exact(after, play.method);
      plays.push_back(play);
    }
    return plays;
  }

 private:
  /// With the cube, for `side`, who is about to double or not; the outlook is his.
  [[nodiscard]] double equity_of(const Position& position, const Outlook& outlook,
                                 CubeSide side) const {
    if (!game_over(position)) {
      return cube_->decide(position, outlook.outcomes, outlook.lives, cube_->start(), side)
          .equity();
    }
    double equity = 0.0;
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      const bool is_players = side == CubeSide::kPlayer;
      equity += outlook.outcomes[o] * (is_players ? cube_->worth().at[0][o]
                                                  : -cube_->worth().at[0][kOutcomeCount - 1 - o]);
    }
    return equity;
  }

  [[nodiscard]] bool is_exact(const Position& position, Method method) const {
    return method == Method::kExact &&
           (!is_cube_alive() || game_over(position) || cube_->is_exact(position));
  }

  const Evaluator& evaluator_;
  const Decision& decision_;
  const std::optional<CubeRules> cube_;
  const OutcomeWorth worth_;
};

}  // namespace

void require_play(const Decision& decision) {
  if (!decision.roll) {
    throw InputError("no roll to be played", "dice", "two digits from 1 to 6, such as 43");
  }
  if (game_over(decision.position)) {
    throw InputError("the game is over: no roll can be played", "position",
                     "checkers on both sides");
  }
}

bool is_cube_alive(const Score& score) noexcept {
  const Stake& stake = score.stakes.front();
  return stake.roller_may_double || stake.opponent_may_double;
}

std::optional<Cube> AskedCube::at(const Score& score) const noexcept {
  if (is_said_) return cube_;
  return is_cube_alive(score) ? std::optional(Cube{}) : std::nullopt;
}

AskedCube parse_asked_cube(std::string_view text) {
  return text.empty() ? AskedCube() : AskedCube(parse_cube_or_none(text));
}

std::optional<CubeRules> cube_rules(const Decision& decision, const ExactTables& tables) {
  if (decision.cube) {
    return CubeRules(decision.score, *decision.cube, decision.money, tables.two_sided);
  }
  static_cast<void>(by_money_rules(decision.score, decision.money));
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
  const StaticValues values(evaluator, decision, tables);
  Evaluation evaluation;
  evaluation.decision = decision;
  evaluation.is_cube_alive = values.is_cube_alive();
  if (!decision.roll) {
    values.add_position(evaluation);
    evaluation.bear_off = bear_off_facts(tables, decision.position);
    return evaluation;
  }
  require_play(decision);
  evaluation.method = evaluator.method(decision.position);
  evaluation.plays = values.plays();
  std::stable_sort(evaluation.plays.begin(), evaluation.plays.end(),
                   [](const EvaluatedPlay& a, const EvaluatedPlay& b) {
                     // Plays after which the opponent's double is passed are all worth the same.
                     return std::pair(a.equity, a.cubeless_equity) >
                            std::pair(b.equity, b.cubeless_equity);
                   });
  for (EvaluatedPlay& play : evaluation.plays) {
    play.cost = evaluation.plays.front().equity - play.equity;
  }
  return evaluation;
}

const Estimate& cubeless_equity(const RolledPlay& play) noexcept {
  return play.cube ? play.cube->cubeless_equity : play.equity;
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
