#include "study/review_parts.h"

#include <cmath>

#include "base/format.h"

namespace sixfold {
namespace {

/// The half-width of a sum of independent terms, one more.
void add_half_width(double& sum, double half_width) { sum = std::hypot(sum, half_width); }

/// Costs of a double and of its answer come from the same trials: their errors may add up.
double half_width_of_question(const ReviewedGame& game, std::size_t t) {
  const ReviewedTurn& turn = game.turns[t];
  const bool is_doubled = t > 0 && game.turns[t - 1].kind == TurnKind::kDouble;
  return turn.half_width.value_or(0.0) * turn.worth +
         (is_answer(turn) && is_doubled
              ? game.turns[t - 1].half_width.value_or(0.0) * game.turns[t - 1].worth
              : 0.0);
}

bool is_answered(const ReviewedGame& game, std::size_t t) {
  return game.turns[t].kind == TurnKind::kDouble && t + 1 < game.turns.size() &&
         is_answer(game.turns[t + 1]);
}

Score score_of(const RecordedMatch& match, const RecordedGame& game, int player,
               const MatchEquityTable& table) {
  if (match.length == 0) return parse_score("money", table);
  const int own = match.length - game.score[static_cast<std::size_t>(player)];
  const int other = match.length - game.score[static_cast<std::size_t>(1 - player)];
  if (own == 1 && other == 1) return parse_score("dmp", table);
  const char* const phase = game.is_crawford         ? " crawford"
                            : game.is_after_crawford ? " post-crawford"
                                                     : "";
  return parse_score(format("{}-away/{}-away{}", own, other, phase), table);
}

}  // namespace

std::array<Score, 2> scores_of(const RecordedMatch& match, const RecordedGame& game,
                               const MatchEquityTable& table) {
  return {score_of(match, game, 0, table), score_of(match, game, 1, table)};
}

void judge_cube(const CubeDecision& found, double nothing, ReviewedTurn& turn) {
  const CubeCosts costs = costs_of(found);
  if (is_answer(turn)) {
    turn.cost = turn.done == CubeStep::kTake ? costs.take : costs.pass;
    turn.right = costs.take > nothing   ? CubeStep::kPass
                 : costs.pass > nothing ? CubeStep::kTake
                                        : turn.done;
  } else {
    turn.cost = turn.done == CubeStep::kDouble ? costs.doubling : costs.no_double;
    turn.right = costs.no_double > nothing  ? CubeStep::kDouble
                 : costs.doubling > nothing ? CubeStep::kNoDouble
                                            : turn.done;
  }
  if (turn.cost <= nothing) turn.cost = 0.0;
}

double value_of(const Decision& decision, double equity) {
  if (const auto chance = match_chance(decision, equity)) return *chance;
  return equity * (decision.cube ? decision.cube->value : 1);
}

double equity_of(const Decision& decision, double value) {
  const double nothing = value_of(decision, 0.0);
  return (value - nothing) / (value_of(decision, 1.0) - nothing);
}

double others(double value, bool is_match) noexcept { return is_match ? 1.0 - value : -value; }

Evaluation evaluated(const ReviewTools& tools, const Decision& decision) {
  return evaluate_decision(tools.evaluator_for(decision), decision, tools.tables);
}

double mean_over_rolls(const ReviewTools& tools, Decision decision, Rolls rolls) {
  double sum = 0.0;
  int weight = 0;
  for (const Roll roll : kRolls) {
    if (rolls == Rolls::kOpening && roll.is_doubles()) continue;
    decision.roll = roll;
    sum += roll.weight() * evaluated(tools, decision).plays.front().equity;
    weight += roll.weight();
  }
  return sum / weight;
}

void add_up_sums(MatchReview& review) {
  review.totals = {};
  for (ReviewedGame& game : review.games) {
    game.sums = {};
    for (std::size_t t = 0; t < game.turns.size(); ++t) {
      const ReviewedTurn& turn = game.turns[t];
      const auto player = static_cast<std::size_t>(turn.player);
      const bool is_play = turn.kind == TurnKind::kPlay;
      PlayerTotals& total = review.totals[player];
      (is_play ? total.cost_plays : total.cost_cube) += turn.cost;
      (is_play ? game.sums.cost_plays : game.sums.cost_cube)[player] += turn.cost * turn.worth;
      total.luck += turn.luck.value_or(0.0);
      game.sums.luck[player] += turn.luck.value_or(0.0) * turn.worth;
      const bool is_right_wait =
          turn.kind == TurnKind::kDouble && turn.done == CubeStep::kNoDouble && turn.cost == 0.0;
      total.decisions += turn.is_forced || is_right_wait ? 0 : 1;
      const double half_width = turn.half_width.value_or(0.0);
      add_half_width(total.half_width, half_width);
      add_half_width(game.sums.half_width[player], half_width * turn.worth);
      if (!is_answered(game, t)) {
        add_half_width(game.sums.lead_half_width, half_width_of_question(game, t));
      }
    }
  }
}

}  // namespace sixfold
