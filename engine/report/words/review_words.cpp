#include "report/words/review_words.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "base/format.h"
#include "report/words/phrases.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

std::string text_of(const ReviewedTurn& turn, PlayKey play, CubeStep step) {
  if (turn.kind != TurnKind::kPlay) return std::string(step_name(step));
  return play_text(turn.decision.position, *turn.decision.roll, play);
}

std::string count_of_points(int points) {
  return points == 1 ? "a point" : format("{} points", points);
}

}  // namespace

std::string_view kind_name(TurnKind kind) noexcept {
  constexpr std::array kNames{"play", "double", "take", "pass"};
  return kNames[static_cast<std::size_t>(kind)];
}

std::string_view step_name(CubeStep step) noexcept {
  constexpr std::array kNames{"no double", "double", "take", "pass"};
  return kNames[static_cast<std::size_t>(step)];
}

std::string_view judge_name(JudgedBy by) noexcept {
  constexpr std::array kNames{"static", "lookahead", "rollout"};
  return kNames[static_cast<std::size_t>(by)];
}

std::string_view depth_name(const MatchReview& review) noexcept {
  return judge_name(review.depth             ? JudgedBy::kRollout
                    : review.is_looked_ahead ? JudgedBy::kLookahead
                                             : JudgedBy::kStatic);
}

std::string played_text(const ReviewedTurn& turn) { return text_of(turn, turn.played, turn.done); }
std::string best_text(const ReviewedTurn& turn) { return text_of(turn, turn.best, turn.right); }

std::string deed_words(const ReviewedTurn& turn) {
  if (!turn.decision.roll) return played_text(turn);
  return roll_text(*turn.decision.roll) + ": " + played_text(turn);
}

double moved_by(const ReviewedTurn& turn) noexcept { return -turn.cost * turn.worth + 0.0; }

std::string_view unit_name(const RecordedMatch& match) noexcept {
  return match.length == 0 ? "points" : "chance to win the match";
}

std::string unit_of_first(const RecordedMatch& match) {
  return format("{}’s {}", match.players[0], unit_name(match));
}

std::string amount_words(const RecordedMatch& match, double value) {
  return match.length > 0 ? format("{:.1f}%", 100.0 * value) : signed_number(value, 3);
}
std::string change_words(const RecordedMatch& match, double value) {
  return match.length > 0 ? signed_number(100.0 * value, 2) + "%" : signed_number(value, 3);
}

std::string error_words(const RecordedMatch& match, double half_width) {
  return match.length > 0 ? format("± {:.2f}%", 100.0 * half_width)
                          : format("± {:.3f}", half_width);
}

std::string length_words(const RecordedMatch& match) {
  return match.length == 0 ? "money" : format("match to {}", match.length);
}

std::string score_words(const RecordedGame& game) {
  return format("{}:{}{}", game.score[0], game.score[1], game.is_crawford ? " Crawford" : "");
}

std::string end_words(const RecordedMatch& match, const RecordedGame& game) {
  if (!game.end) return "breaks off";
  return format("{} wins {}{}", match.players[static_cast<std::size_t>(game.end->winner)],
                count_of_points(game.end->points),
                game.end->by_resignation ? " by resignation" : "");
}

std::string result_words(const RecordedMatch& match) {
  if (match.games.empty()) return "No game is recorded.";
  const RecordedGame& last = match.games.back();
  const std::string open = last.end ? "" : " The last game breaks off.";
  std::array<int, 2> points{};
  for (const RecordedGame& game : match.games) {
    if (game.end) points[static_cast<std::size_t>(game.end->winner)] += game.end->points;
  }
  if (match.length > 0) {
    points = last.score;
    if (last.end) points[static_cast<std::size_t>(last.end->winner)] += last.end->points;
  }
  const std::size_t ahead = points[1] > points[0] ? 1 : 0;
  const std::string& name = match.players[ahead];
  if (match.length > 0 && points[ahead] >= match.length) return name + " won the match.";
  if (match.length > 0) return format("The record ends at {}:{}.", points[0], points[1]) + open;
  const int lead = points[ahead] - points[1 - ahead];
  return (lead == 0 ? "Nobody is ahead." : name + " is " + count_of_points(lead) + " ahead.") +
         open;
}

std::string values_words(const MatchReview& review, const Provenance& made_by) {
  if (review.depth) {
    return format(
        "Net {} looks a roll ahead; what costs {:g} or more so or by its static values is rolled "
        "out, the played play against the two others that are best so far; ± is the half-width of "
        "the {:g}% interval.",
        made_by.net, review.depth->bound, 100.0 * review.depth->settings.confidence);
  }
  return format("{} of net {}{}: opinions, not rollouts{}.",
                review.is_looked_ahead ? "Values" : "Static values", made_by.net,
                review.is_looked_ahead ? " a roll ahead" : "",
                has_rollouts(review) ? ", but where a cost has its half-width (±)" : "");
}

std::string units_words(const RecordedMatch& match) {
  return format(
      "Costs and luck are in equity at each turn's score and cube, what they move in {}. The luck "
      "of a roll is its best play's value less the mean of all rolls, of an opening those that "
      "begin a game.",
      unit_name(match));
}

std::vector<TurnInGame> dearest_turns(const MatchReview& review) {
  std::vector<TurnInGame> dear;
  for (const ReviewedGame& game : review.games) {
    for (const ReviewedTurn& turn : game.turns) {
      if (turn.cost > 0.0) dear.push_back({&game, &turn});
    }
  }
  std::stable_sort(dear.begin(), dear.end(), [](const TurnInGame& a, const TurnInGame& b) {
    return a.turn->cost * a.turn->worth > b.turn->cost * b.turn->worth;
  });
  return dear;
}

ReviewBalance balance_of(const ReviewedGame& game) {
  return {game.start, game.result, game.sums, game.disagreement(), 0.0};
}

ReviewBalance balance_of(const MatchReview& review) {
  ReviewBalance total;
  const bool is_match = review.match.length > 0;
  if (is_match && !review.games.empty()) total.start = total.result = review.games.front().start;
  for (const ReviewedGame& game : review.games) {
    // Points of money games add up; a set-up one begins with what its position is worth.
    if (!is_match) total.start += game.start;
    if (is_match) total.between_games += game.start - total.result;
    total.result = is_match ? game.result : total.result + game.result;
    for (std::size_t p = 0; p < 2; ++p) {
      total.sums.luck[p] += game.sums.luck[p];
      total.sums.cost_plays[p] += game.sums.cost_plays[p];
      total.sums.cost_cube[p] += game.sums.cost_cube[p];
      total.sums.half_width[p] = std::hypot(total.sums.half_width[p], game.sums.half_width[p]);
    }
    total.sums.lead_half_width = std::hypot(total.sums.lead_half_width, game.sums.lead_half_width);
    total.disagreement += game.disagreement();
  }
  return total;
}

}  // namespace sixfold
