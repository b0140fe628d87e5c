#include "report/words/review_words.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "rules/notation.h"

namespace sixfold {
namespace {

std::string text_of(const ReviewedTurn& turn, PlayKey play, CubeStep step) {
  if (turn.kind != TurnKind::kPlay) return std::string(step_name(step));
  return play_text(turn.decision.position, *turn.decision.roll, play);
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

std::string_view unit_name(const RecordedMatch& match) noexcept {
  return match.length == 0 ? "points" : "chance to win the match";
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
