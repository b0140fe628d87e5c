#include "study/review_depth.h"

#include <algorithm>
#include <cmath>

#include "base/format.h"
#include "base/hash.h"
#include "rollout/choice.h"
#include "rules/game_result.h"
#include "study/review_parts.h"

namespace sixfold {
namespace {

/// Of a difference of equities a roll ahead that is a rounding error.
constexpr double kNothing = 1e-6;

/// What is left of a half-width where the other action is behind by `lead`: the cost of the one
/// that was chosen is 0 or what the interval reaches beyond it.
double half_width_of_none(double lead, double half_width) {
  return std::max(0.0, half_width - lead);
}

/// The decisions of one game, a roll ahead by static values.
class GameAhead {
 public:
  GameAhead(const ReviewTools& tools, const RecordedMatch& match, const RecordedGame& game)
      : tools_(tools),
        is_match_(match.length > 0),
        scores_(scores_of(match, game, tools.match_table)) {}

  void look_at(ReviewedTurn& turn) const {
    turn.static_cost = turn.cost;
    if (turn.is_forced) return;
    if (turn.kind == TurnKind::kPlay) {
      look_at_play(turn);
    } else {
      look_at_cube(turn);
    }
  }

 private:
  void look_at_play(ReviewedTurn& turn) const {
    std::size_t looked_at = 0;
    double best = 0.0;
    double played = 0.0;
    EvaluatedPlay best_play;
    EvaluatedPlay played_play;
    for (const EvaluatedPlay& play : evaluated(tools_, turn.decision).plays) {
      const bool is_played = play.play == turn.played;
      if (looked_at >= kLookaheadPlays && !is_played) continue;
      const double equity = equity_of(turn.decision, value_of_play(turn, play));
      if (looked_at++ == 0 || equity > best) {
        best = equity;
        best_play = play;
      }
      if (is_played) {
        played = equity;
        played_play = play;
      }
    }
    turn.best = best_play.play;
    turn.plays = {best_play};
    if (!(turn.best == turn.played)) turn.plays.push_back(played_play);
    turn.cost = best - played;
    if (turn.cost <= kNothing) {
      turn.cost = 0.0;
      turn.best = turn.played;
      turn.plays = {played_play};
    }
    turn.judged_by = JudgedBy::kLookahead;
  }

  /// To who makes it, in the match's unit.
  [[nodiscard]] double value_of_play(const ReviewedTurn& turn, const EvaluatedPlay& play) const {
    Decision next = turn.decision;
    next.roll.reset();
    next.position = position_after(turn.decision.position, play.play);
    if (game_over(next.position)) return value_of(turn.decision, play.equity);
    next.score = scores_[static_cast<std::size_t>(1 - turn.player)];
    if (next.cube) next.cube->owner = reversed(next.cube->owner);
    return others(value_of_turn(next), is_match_);
  }

  /// To who is about to double or to roll, in the match's unit.
  [[nodiscard]] double value_of_turn(Decision decision) const {
    if (decision.cube) {
      const CubeDecision found =
          static_cube(tools_.evaluator_for(decision), decision, tools_.tables).equities;
      if (found.action == CubeAction::kDoublePass) return value_of(decision, *found.double_pass);
      if (found.action == CubeAction::kDoubleTake) decision = doubled(decision);
    }
    return value_of(decision, mean_over_rolls(tools_, decision, Rolls::kAll));
  }

  /// After a double that is taken, the roller still to roll.
  [[nodiscard]] static Decision doubled(Decision decision) {
    decision.cube->value *= 2;
    decision.cube->owner = CubeOwner::kOpponent;
    return decision;
  }

  void look_at_cube(ReviewedTurn& turn) const {
    Decision decision = turn.decision;
    CubeStudy study = static_cube(tools_.evaluator_for(decision), decision, tools_.tables);
    CubeDecision& found = study.equities;
    if (!found.double_take || found.is_beavered) return;
    decision.money.beavers = false;
    found.no_double = mean_over_rolls(tools_, decision, Rolls::kAll);
    const Decision taken = doubled(decision);
    found.double_take =
        equity_of(decision, value_of(taken, mean_over_rolls(tools_, taken, Rolls::kAll)));
    decide(found);
    judge_cube(found, kNothing, turn);
    turn.doubling = study;
    turn.judged_by = JudgedBy::kLookahead;
  }

  const ReviewTools& tools_;
  bool is_match_;
  std::array<Score, 2> scores_;
};

/// A double that was missed comes before the play of the same number.
void insert_missed_double(ReviewedGame& game, const ReviewedTurn& missed) {
  const auto at = std::find_if(game.turns.begin(), game.turns.end(), [&](const ReviewedTurn& turn) {
    return turn.number >= missed.number;
  });
  game.turns.insert(at, missed);
}

/// Rolls out the dear turns of a review.
class DearTurns {
 public:
  DearTurns(const ReviewTools& tools, const ReviewRoller& roller, const ReviewDepth& depth)
      : tools_(tools), roller_(roller), depth_(depth) {}

  /// Whether it was not stopped.
  [[nodiscard]] bool roll_out(std::size_t game, ReviewedTurn& turn) {
    RolloutQuestion question{turn.decision, depth_.settings, {}, {}};
    // A double and its answer are one question.
    const std::size_t number = turn.number - (is_answer(turn) ? 1 : 0);
    question.settings.seed = hash_of_bytes(
        format("{} {} {} {}", depth_.settings.seed, game, number, turn.kind == TurnKind::kPlay));
    return turn.kind == TurnKind::kPlay ? roll_out_play(turn, question)
                                        : roll_out_cube(turn, question);
  }

 private:
  [[nodiscard]] bool roll_out_play(ReviewedTurn& turn, RolloutQuestion& question) const {
    std::vector<PlayKey>& named = question.wanted.named;
    if (!(turn.best == turn.played)) named.push_back(turn.best);
    for (const EvaluatedPlay& play : evaluated(tools_, turn.decision).plays) {
      if (named.size() < kRivals && !(play.play == turn.played) && !(play.play == turn.best)) {
        named.push_back(play.play);
      }
    }
    named.push_back(turn.played);
    question.wanted.alone = true;
    const std::optional<RolledDecision> rolled = roller_.plays(question);
    return rolled && !rolled->result.interrupted && judge_by(*rolled, turn);
  }

  [[nodiscard]] bool roll_out_cube(ReviewedTurn& turn, const RolloutQuestion& question) {
    if (!last_double_ || last_double_->settings.seed != question.settings.seed) {
      last_double_ = roller_.cube(question);
    }
    const std::optional<CubeStudy>& study = last_double_;
    if (!study || (study->rolled && study->rolled->interrupted)) return false;
    judge_by(*study, turn);
    return true;
  }

  static constexpr std::size_t kRivals = 2;

  const ReviewTools& tools_;
  const ReviewRoller& roller_;
  const ReviewDepth& depth_;
  std::optional<CubeStudy> last_double_;  ///< Its answer may be dear, too.
};

}  // namespace

void look_ahead(const ReviewTools& tools, MatchReview& review, const std::atomic<bool>* stop) {
  review.is_looked_ahead = true;
  for (ReviewedGame& game : review.games) {
    const RecordedGame& record = review.match.games[game.number - 1];
    const GameAhead ahead(tools, review.match, record);
    const auto is_stopped = [&] { return stop != nullptr && *stop; };
    for (ReviewedTurn& turn : game.turns) {
      if (!is_stopped()) ahead.look_at(turn);
    }
    for (ReviewedTurn wait : game.waits) {
      if (is_stopped()) break;
      ahead.look_at(wait);
      if (wait.cost > 0.0) insert_missed_double(game, wait);
    }
    if (is_stopped()) {
      review.interrupted = true;
      break;
    }
  }
  add_up_sums(review);
}

bool is_dear(const ReviewedTurn& turn, double bound) {
  if (turn.kind != TurnKind::kPlay) {
    const CubeRules rules = *cube_rules(turn.decision, {});
    if (!rules.may_double(rules.start(), CubeSide::kPlayer)) return false;
  }
  return std::max(turn.cost, turn.static_cost) >= bound;
}

void roll_out_dear_turns(const ReviewTools& tools, const ReviewRoller& roller,
                         const ReviewDepth& depth, MatchReview& review) {
  review.depth = depth;
  std::vector<std::pair<std::size_t, ReviewedTurn*>> dear;  // With the numbers of their games.
  for (ReviewedGame& game : review.games) {
    for (ReviewedTurn& turn : game.turns) {
      if (is_dear(turn, depth.bound)) dear.emplace_back(game.number, &turn);
    }
  }
  DearTurns turns(tools, roller, depth);
  for (std::size_t i = 0; i < dear.size(); ++i) {
    if (roller.started) roller.started(i, dear.size());
    review.interrupted = !turns.roll_out(dear[i].first, *dear[i].second);
    if (review.interrupted) break;
  }
  add_up_sums(review);
}

bool judge_by(const RolledDecision& rolled, ReviewedTurn& turn) {
  const std::vector<RolledPlay>& plays = rolled.result.plays;
  const auto played = std::find_if(
      plays.begin(), plays.end(), [&](const RolledPlay& play) { return play.play == turn.played; });
  if (plays.size() < 2 || played == plays.end()) return false;
  turn.best = plays.front().play;
  turn.rolled = rolled;
  if (played == plays.begin()) {
    turn.cost = 0.0;
    const RolledPlay& second = plays[1];
    turn.half_width =
        second.at_least ? 0.0 : half_width_of_none(second.cost.mean, second.cost.half_width);
  } else {
    turn.cost = played->cost.mean;
    turn.half_width = played->cost.half_width;
  }
  turn.judged_by = JudgedBy::kRollout;
  return true;
}

bool judge_by(const CubeStudy& study, ReviewedTurn& turn) {
  if (!study.equities.double_take) return false;
  judge_cube(study.equities, 0.0, turn);
  turn.doubling = study;
  turn.half_width = 0.0;
  if (const auto margins = study.rolled ? margins_of(study) : std::nullopt) {
    const Estimate& margin = is_answer(turn) ? margins->taking : margins->doubling;
    turn.half_width = turn.cost > 0.0
                          ? margin.half_width
                          : half_width_of_none(std::abs(margin.mean), margin.half_width);
  }
  turn.judged_by = JudgedBy::kRollout;
  return true;
}

}  // namespace sixfold
