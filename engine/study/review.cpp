#include "study/review.h"

#include <algorithm>
#include <cmath>

#include "base/format.h"
#include "base/input_error.h"
#include "study/review_parts.h"

namespace sixfold {
namespace {

/// Of a difference of equities that is a rounding error.
constexpr double kNothing = 1e-9;

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
      : tools_(tools),
        match_(match),
        game_(game),
        scores_(scores_of(match, game, tools.match_table)) {
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

  /// Before the opening roll either player may come to begin.
  [[nodiscard]] double opening_value() const {
    double sum = 0.0;
    for (const int player : {0, 1}) {
      RecordedTurn turn;
      turn.player = player;
      turn.position = game_.start;
      const Decision decision = decision_of(turn);
      sum += for_player_0(value_of(decision, mean_over_rolls(tools_, decision, Rolls::kOpening)),
                          player) /
             2.0;
    }
    return sum;
  }

  [[nodiscard]] bool is_opening(std::size_t t) const {
    return t == 0 && !is_set_up() && !game_.turns[0].roll.is_doubles();
  }

  static ReviewedTurn reviewed_turn(std::size_t t, const RecordedTurn& turn,
                                    const Decision& decision) {
    ReviewedTurn reviewed;
    reviewed.number = t + 1;
    reviewed.player = turn.player;
    reviewed.kind = turn.kind;
    reviewed.decision = decision;
    reviewed.worth = value_of(decision, 1.0) - value_of(decision, 0.0);
    return reviewed;
  }
  ReviewedTurn& add(std::size_t t, const RecordedTurn& turn, const Decision& decision) {
    return reviewed_.turns.emplace_back(reviewed_turn(t, turn, decision));
  }

  void look_at_play(std::size_t t, const RecordedTurn& turn) {
    Decision decision = decision_of(turn);
    const double mean = is_opening(t)
                            ? equity_of(decision, for_player_0(opening_value(), turn.player))
                            : mean_over_rolls(tools_, decision, Rolls::kAll);
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

  /// What there is to double with, before a roll that was played without a word of it.
  void look_for_missed_double(std::size_t t, const RecordedTurn& turn) {
    const Decision decision = decision_of(turn);
    if (!decision.cube) return;
    const CubeStudy study = static_cube(tools_.evaluator_for(decision), decision, tools_.tables);
    const CubeDecision& found = study.equities;
    if (!found.double_take) return;
    ReviewedTurn left_out = reviewed_turn(t, turn, decision);
    left_out.kind = TurnKind::kDouble;
    left_out.doubling = study;
    left_out.value = for_player_0(value_of(decision, found.no_double), turn.player);
    judge_cube(found, kNothing, left_out);
    if (left_out.cost == 0.0) {
      reviewed_.waits.push_back(std::move(left_out));
      return;
    }
    value_ = left_out.value;
    reviewed_.turns.push_back(std::move(left_out));
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
    ReviewedTurn& added = add(t, turn, decision);
    added.done = is_double                      ? CubeStep::kDouble
                 : turn.kind == TurnKind::kTake ? CubeStep::kTake
                                                : CubeStep::kPass;
    judge_cube(found, kNothing, added);
    added.doubling = study;
    const double equity = is_double ? std::min(*found.double_take, *found.double_pass)
                          : added.done == CubeStep::kTake ? *found.double_take
                                                          : *found.double_pass;
    added.value = value_ = for_player_0(value_of(decision, equity), doubler.player);
  }

  /// What a double gives to whom it can't help, such as the leader after the Crawford game.
  void add_useless_double(const Decision& decision, CubeDecision& found) const {
    Decision taken = decision;
    taken.cube->owner = CubeOwner::kOpponent;
    taken.cube->value = std::min(2 * taken.cube->value, 1 << (decision.score.stakes.size() - 1));
    const CubeStudy study = static_cube(tools_.evaluator_for(taken), taken, tools_.tables);
    found.double_take = equity_of(decision, value_of(taken, study.equities.no_double));
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

}  // namespace

double ReviewedGame::disagreement() const noexcept {
  const auto lead = [](const std::array<double, 2>& of) { return of[0] - of[1]; };
  return result - start - lead(sums.luck) + lead(sums.cost_plays) + lead(sums.cost_cube);
}

bool has_rollouts(const MatchReview& review) noexcept {
  return std::any_of(review.games.begin(), review.games.end(), [](const ReviewedGame& game) {
    return std::any_of(game.turns.begin(), game.turns.end(), [](const ReviewedTurn& turn) {
      return turn.judged_by == JudgedBy::kRollout;
    });
  });
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
  add_up_sums(review);
  return review;
}

}  // namespace sixfold
