#include "study/review.h"

#include <algorithm>
#include <cmath>

#include "base/format.h"
#include "base/input_error.h"

namespace sixfold {
namespace {

/// Of a difference of equities that is a rounding error.
constexpr double kNothing = 1e-9;

/// A game's score as a player sees it.
std::string score_text(const RecordedMatch& match, const RecordedGame& game, int player) {
  if (match.length == 0) return "money";
  const int own = match.length - game.score[static_cast<std::size_t>(player)];
  const int other = match.length - game.score[static_cast<std::size_t>(1 - player)];
  if (own == 1 && other == 1) return "dmp";
  const char* const phase = game.is_crawford         ? " crawford"
                            : game.is_after_crawford ? " post-crawford"
                                                     : "";
  return format("{}-away/{}-away{}", own, other, phase);
}

/// The cube as a turn's player sees it; nothing where nobody has any use for it. At a match score
/// a value beyond what wins the match is as good as that.
std::optional<Cube> cube_of(const RecordedTurn& turn, const Score& score) {
  if (!is_cube_alive(score)) return std::nullopt;
  Cube cube;
  cube.value = turn.cube_value;
  if (score.match) cube.value = std::min(cube.value, 1 << (score.stakes.size() - 1));
  cube.owner = turn.cube_owner == RecordedOwner::kCentred ? CubeOwner::kCentred
               : turn.cube_owner == RecordedOwner::kOwn   ? CubeOwner::kRoller
                                                          : CubeOwner::kOpponent;
  return cube;
}

/// What a turn's equity is in the match's unit, for its player.
double value_of(const Decision& decision, double equity) {
  if (const auto chance = match_chance(decision, equity)) return *chance;
  return equity * (decision.cube ? decision.cube->value : 1);
}

/// The same of the other player: chances add up to 1, points to 0.
double others(double value, bool is_match) { return is_match ? 1.0 - value : -value; }

/// The chance of the player at a score to win the match, before the game.
double chance_before(const MatchEquityTable& table, const MatchScore& score) {
  if (score.phase == MatchPhase::kAfterCrawford) return chance_after(table, score, 0);
  return table.chance(score.roller_away, score.opponent_away);
}

/// One game, turn by turn. `value` is what the game is worth by now, in the match's unit, for
/// player 0; what moves it is luck, cost or else disagreement.
class GameReview {
 public:
  GameReview(const ReviewTools& tools, const RecordedMatch& match, const RecordedGame& game)
      : tools_(tools), match_(match), game_(game) {
    for (int player : {0, 1}) {
      scores_[static_cast<std::size_t>(player)] =
          parse_score(score_text(match, game, player), tools.match_table);
    }
    if (is_match()) reviewed_.start = chance_before(tools.match_table, *scores_[0].away);
    if (is_set_up() && !game.turns.empty()) {
      const Decision decision = decision_of(game.turns.front());
      reviewed_.start =
          for_player_0(value_of(decision, evaluated(decision).equity), game.turns.front().player);
    }
    value_ = reviewed_.start;
  }

  [[nodiscard]] ReviewedGame reviewed() {
    for (std::size_t t = 0; t < game_.turns.size(); ++t) {
      const RecordedTurn& turn = game_.turns[t];
      if (turn.kind == TurnKind::kPlay) {
        if (t == 0 ? is_set_up() : game_.turns[t - 1].kind == TurnKind::kPlay) {
          look_for_missed_double(t, turn);
        }
        look_at_play(t, turn);
      } else if (!turn.is_beaver && !(t > 0 && game_.turns[t - 1].is_beaver)) {
        look_at_cube(t, turn);
      }
    }
    if (game_.end) value_ = after_the_end(*game_.end);
    reviewed_.result = value_;
    return std::move(reviewed_);
  }

 private:
  [[nodiscard]] bool is_match() const noexcept { return match_.length > 0; }
  [[nodiscard]] bool is_set_up() const noexcept {
    return game_.start != start_position() || game_.start_cube != 1;
  }
  [[nodiscard]] double for_player_0(double value, int player) const {
    return player == 0 ? value : others(value, is_match());
  }

  [[nodiscard]] Decision decision_of(const RecordedTurn& turn) const {
    Decision decision;
    decision.position = turn.position;
    decision.score = scores_[static_cast<std::size_t>(turn.player)];
    decision.cube = cube_of(turn, decision.score);
    decision.money.jacoby = game_.jacoby && !is_match() && decision.cube.has_value();
    return decision;
  }

  [[nodiscard]] Evaluation evaluated(const Decision& decision) const {
    return evaluate_decision(tools_.evaluator_for(decision), decision, tools_.tables);
  }

  /// The mean over rolls of what the best play of each is worth; those of an opening are no
  /// doubles.
  [[nodiscard]] double mean_equity(Decision decision, bool is_opening) const {
    double sum = 0.0;
    int weight = 0;
    for (const Roll roll : kRolls) {
      if (is_opening && roll.is_doubles()) continue;
      decision.roll = roll;
      sum += roll.weight() * evaluated(decision).plays.front().equity;
      weight += roll.weight();
    }
    return sum / weight;
  }

  /// Before the opening roll either player may come to begin.
  [[nodiscard]] double opening_value() const {
    double sum = 0.0;
    for (const int player : {0, 1}) {
      RecordedTurn turn;
      turn.player = player;
      turn.position = game_.start;
      const Decision decision = decision_of(turn);
      sum += for_player_0(value_of(decision, mean_equity(decision, true)), player) / 2.0;
    }
    return sum;
  }

  [[nodiscard]] bool is_opening(std::size_t t) const {
    return t == 0 && !is_set_up() && !game_.turns[0].roll.is_doubles();
  }

  ReviewedTurn& add(std::size_t t, const RecordedTurn& turn, const Decision& decision) {
    ReviewedTurn& added = reviewed_.turns.emplace_back();
    added.number = t + 1;
    added.player = turn.player;
    added.kind = turn.kind;
    added.decision = decision;
    added.worth = value_of(decision, 1.0) - value_of(decision, 0.0);
    return added;
  }

  void look_at_play(std::size_t t, const RecordedTurn& turn) {
    Decision decision = decision_of(turn);
    const double mean = is_opening(t) ? equity_for(decision, turn.player, opening_value())
                                      : mean_equity(decision, false);
    decision.roll = turn.roll;
    const Evaluation evaluation = evaluated(decision);
    const auto played =
        std::find_if(evaluation.plays.begin(), evaluation.plays.end(),
                     [&](const EvaluatedPlay& play) { return play.play == turn.play; });
    if (played == evaluation.plays.end()) {
      throw InputError("the play is none of its roll's", format("turn {}", t + 1), "a legal one");
    }
    ReviewedTurn& added = add(t, turn, decision);
    added.played = turn.play;
    added.best = evaluation.plays.front().play;
    added.cost = played->cost;
    added.luck = evaluation.plays.front().equity - mean;
    added.is_forced = evaluation.plays.size() == 1;
    added.plays = {evaluation.plays.front()};
    if (played != evaluation.plays.begin()) added.plays.push_back(*played);
    added.value = value_ = for_player_0(value_of(decision, played->equity), turn.player);
  }

  /// The equity that is worth so much, in the match's unit, for player 0.
  [[nodiscard]] double equity_for(const Decision& decision, int player, double value) const {
    const double own = player == 0 ? value : others(value, is_match());
    const double nothing = value_of(decision, 0.0);
    return (own - nothing) / (value_of(decision, 1.0) - nothing);
  }

  /// What there is to double with, before a roll that was played without a word of it.
  void look_for_missed_double(std::size_t t, const RecordedTurn& turn) {
    const Decision decision = decision_of(turn);
    if (!decision.cube) return;
    const CubeStudy study = static_cube(tools_.evaluator_for(decision), decision, tools_.tables);
    const CubeDecision& found = study.equities;
    if (!found.double_take) return;
    const double cost = costs_of(found).no_double;
    if (cost <= kNothing) return;
    ReviewedTurn& added = add(t, turn, decision);
    added.kind = TurnKind::kDouble;
    added.right = CubeStep::kDouble;
    added.cost = cost;
    added.doubling = study;
    added.value = value_ = for_player_0(value_of(decision, found.no_double), turn.player);
  }

  /// A double, or the answer to one: decided by who has doubled.
  void look_at_cube(std::size_t t, const RecordedTurn& turn) {
    const bool is_double = turn.kind == TurnKind::kDouble;
    RecordedTurn doubler = turn;
    if (!is_double) {
      doubler.player = 1 - turn.player;
      doubler.position = swapped(turn.position);
      doubler.cube_owner = turn.cube_owner == RecordedOwner::kCentred ? RecordedOwner::kCentred
                                                                      : RecordedOwner::kOwn;
    }
    Decision decision = decision_of(doubler);
    if (!decision.cube) return;
    if (is_double && !is_match() && t + 1 < game_.turns.size()) {
      decision.money.beavers = game_.turns[t + 1].is_beaver;
    }
    CubeStudy study = static_cube(tools_.evaluator_for(decision), decision, tools_.tables);
    CubeDecision& found = study.equities;
    if (!found.double_take) add_useless_double(decision, found);
    const CubeCosts costs = costs_of(found);
    const bool is_pass_right = *found.double_take >= *found.double_pass;
    ReviewedTurn& added = add(t, turn, decision);
    double equity = is_pass_right ? *found.double_pass : *found.double_take;
    if (is_double) {
      added.done = CubeStep::kDouble;
      added.right = costs.doubling > kNothing ? CubeStep::kNoDouble : CubeStep::kDouble;
    } else {
      added.done = turn.kind == TurnKind::kTake ? CubeStep::kTake : CubeStep::kPass;
      added.right = is_pass_right ? CubeStep::kPass : CubeStep::kTake;
      equity = turn.kind == TurnKind::kTake ? *found.double_take : *found.double_pass;
    }
    added.cost = is_double                      ? costs.doubling
                 : turn.kind == TurnKind::kTake ? costs.take
                                                : costs.pass;
    added.doubling = study;
    added.value = value_ = for_player_0(value_of(decision, equity), doubler.player);
  }

  /// What a double gives to whom it can't help, such as the leader after the Crawford game.
  void add_useless_double(const Decision& decision, CubeDecision& found) const {
    Decision taken = decision;
    taken.cube->owner = CubeOwner::kOpponent;
    taken.cube->value = std::min(2 * taken.cube->value, 1 << (decision.score.stakes.size() - 1));
    const CubeStudy study = static_cube(tools_.evaluator_for(taken), taken, tools_.tables);
    found.double_take = equity_for(decision, 0, value_of(taken, study.equities.no_double));
    found.double_pass = 1.0;
    decide(found);
  }

  [[nodiscard]] double after_the_end(const RecordedEnd& end) const {
    const int points = end.winner == 0 ? end.points : -end.points;
    if (!is_match()) return points;
    return chance_after(tools_.match_table, *scores_[0].away, points);
  }

  const ReviewTools& tools_;
  const RecordedMatch& match_;
  const RecordedGame& game_;
  std::array<Score, 2> scores_;
  double value_ = 0.0;
  ReviewedGame reviewed_;
};

/// The sums of games and match by what their turns say.
void add_up(MatchReview& review) {
  review.totals = {};
  for (ReviewedGame& game : review.games) {
    game.sums = {};
    for (const ReviewedTurn& turn : game.turns) {
      const auto player = static_cast<std::size_t>(turn.player);
      const bool is_play = turn.kind == TurnKind::kPlay;
      PlayerTotals& total = review.totals[player];
      (is_play ? total.cost_plays : total.cost_cube) += turn.cost;
      (is_play ? game.sums.cost_plays : game.sums.cost_cube)[player] += turn.cost * turn.worth;
      total.luck += turn.luck.value_or(0.0);
      game.sums.luck[player] += turn.luck.value_or(0.0) * turn.worth;
      total.half_width = std::hypot(total.half_width, turn.half_width.value_or(0.0));
      total.decisions += turn.is_forced ? 0 : 1;
    }
  }
}

/// Rolls out the dear turns of a review.
class DearTurns {
 public:
  DearTurns(const ReviewTools& tools, const ReviewRoller& roller, const ReviewDepth& depth)
      : tools_(tools), roller_(roller), depth_(depth) {}

  /// Whether it was not stopped.
  [[nodiscard]] bool roll_out(ReviewedTurn& turn) const {
    RolloutQuestion question{turn.decision, depth_.settings, {}, {}};
    // A double and its answer are one question.
    const bool is_answer = turn.kind == TurnKind::kTake || turn.kind == TurnKind::kPass;
    question.settings.seed += turn.number - (is_answer ? 1 : 0);
    return turn.kind == TurnKind::kPlay ? roll_out_play(turn, question)
                                        : roll_out_cube(turn, question);
  }

 private:
  [[nodiscard]] bool roll_out_play(ReviewedTurn& turn, RolloutQuestion& question) const {
    const Evaluation evaluation =
        evaluate_decision(tools_.evaluator_for(turn.decision), turn.decision, tools_.tables);
    std::vector<PlayKey>& named = question.wanted.named;
    for (const EvaluatedPlay& play : evaluation.plays) {
      if (named.size() < kRivals && !(play.play == turn.played)) named.push_back(play.play);
    }
    named.push_back(turn.played);
    question.wanted.alone = true;
    const std::optional<RolledDecision> rolled = roller_.plays(question);
    if (!rolled || rolled->result.plays.empty() || rolled->result.interrupted) return false;
    const std::vector<RolledPlay>& plays = rolled->result.plays;
    const auto played = std::find_if(plays.begin(), plays.end(), [&](const RolledPlay& play) {
      return play.play == turn.played;
    });
    const bool is_best = played == plays.begin();
    turn.best = plays.front().play;
    turn.cost = is_best ? 0.0 : played->cost.mean;
    turn.half_width = (is_best ? plays[1] : *played).cost.half_width;
    turn.rolled = rolled;
    return true;
  }

  [[nodiscard]] bool roll_out_cube(ReviewedTurn& turn, const RolloutQuestion& question) const {
    const std::optional<CubeStudy> study = roller_.cube(question);
    if (!study || (study->rolled && study->rolled->interrupted)) return false;
    // Whom a double can't help it has been judged of already.
    if (!study->equities.double_take) return true;
    turn.doubling = study;
    const CubeCosts costs = costs_of(study->equities);
    const std::optional<CubeMargins> margins = study->rolled ? margins_of(*study) : std::nullopt;
    if (turn.kind == TurnKind::kDouble) {
      turn.cost = turn.done == CubeStep::kDouble ? costs.doubling : costs.no_double;
      turn.right = costs.no_double > 0.0 ? CubeStep::kDouble : CubeStep::kNoDouble;
      turn.half_width = margins ? margins->doubling.half_width : 0.0;
    } else {
      turn.cost = turn.done == CubeStep::kTake ? costs.take : costs.pass;
      turn.right = costs.take > 0.0 ? CubeStep::kPass : CubeStep::kTake;
      turn.half_width = margins ? margins->taking.half_width : 0.0;
    }
    return true;
  }

  static constexpr std::size_t kRivals = 2;

  const ReviewTools& tools_;
  const ReviewRoller& roller_;
  const ReviewDepth& depth_;
};

}  // namespace

double ReviewedGame::disagreement() const noexcept {
  const auto lead = [](const std::array<double, 2>& of) { return of[0] - of[1]; };
  return result - start - lead(sums.luck) + lead(sums.cost_plays) + lead(sums.cost_cube);
}

MatchReview review_match(const ReviewTools& tools, const RecordedMatch& match,
                         const std::atomic<bool>* stop) {
  MatchReview review;
  review.match = match;
  for (std::size_t p = 0; p < 2; ++p) {
    std::string& name = review.match.players[p];
    if (name.empty()) name = format("player {}", p + 1);
  }
  if (match.length > tools.match_table.most_away()) {
    review.complaints.push_back(format("a match to {}: the match equity table goes to {} away",
                                       match.length, tools.match_table.most_away()));
    return review;
  }
  for (std::size_t g = 0; g < match.games.size(); ++g) {
    review.interrupted = stop != nullptr && *stop;
    if (review.interrupted) break;
    try {
      ReviewedGame game = GameReview(tools, match, match.games[g]).reviewed();
      game.number = g + 1;
      review.games.push_back(std::move(game));
    } catch (const InputError& error) {
      review.complaints.push_back(format("game {}: {}", g + 1, error.what()));
    }
  }
  add_up(review);
  return review;
}

void roll_out_dear_turns(const ReviewTools& tools, const ReviewRoller& roller,
                         const ReviewDepth& depth, MatchReview& review) {
  review.depth = depth;
  std::vector<ReviewedTurn*> dear;
  for (ReviewedGame& game : review.games) {
    for (ReviewedTurn& turn : game.turns) {
      if (turn.cost >= depth.bound) dear.push_back(&turn);
    }
  }
  const DearTurns turns(tools, roller, depth);
  for (std::size_t i = 0; i < dear.size(); ++i) {
    if (roller.started) roller.started(i, dear.size());
    review.interrupted = !turns.roll_out(*dear[i]);
    if (review.interrupted) break;
  }
  add_up(review);
}

}  // namespace sixfold
