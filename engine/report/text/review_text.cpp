#include "report/text/review_text.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "base/format.h"
#include "report/text/layout.h"
#include "report/words/review_words.h"

namespace sixfold {
namespace {

constexpr std::size_t kPlayerWidth = 24;

std::string head(const MatchReview& review) {
  const RecordedMatch& match = review.match;
  std::string text =
      format("{} against {}, {}\n", match.players[0], match.players[1], length_words(match));
  for (const std::string* each : {&match.event, &match.round, &match.place, &match.date}) {
    if (!each->empty()) text += *each + "\n";
  }
  return text;
}

std::string games_table(const MatchReview& review) {
  std::string text = "\n" + padded("game", 6) + padded("score", 14) + padded("turns", 7) + "end\n";
  for (const ReviewedGame& game : review.games) {
    const RecordedGame& record = review.match.games[game.number - 1];
    text += padded(std::to_string(game.number), 6) + padded(score_words(record), 14) +
            padded(std::to_string(record.turns.size()), 7) + end_words(review.match, record) + "\n";
  }
  return text;
}

/// A line of the balance: what each of the players has, then what it moves for the first.
std::string luck_line(const RecordedMatch& match, const std::array<double, 2>& luck) {
  return padded("luck of the rolls", kPlayerWidth) + padded(change_words(match, luck[0]), 12) +
         padded(change_words(match, luck[1]), 12) + change_words(match, luck[0] - luck[1]) + "\n";
}
std::string cost_line(const RecordedMatch& match, const char* name,
                      const std::array<double, 2>& costs) {
  const auto cell = [&](double cost) {
    return padded(match.length > 0 ? format("{:.2f}%", 100.0 * cost) : format("{:.3f}", cost), 12);
  };
  return padded(name, kPlayerWidth) + cell(costs[0]) + cell(costs[1]) +
         change_words(match, costs[1] - costs[0]) + "\n";
}

/// How well the costs are known, and their difference, by what was rolled out.
std::string interval_line(const RecordedMatch& match, const ReviewSums& sums) {
  return padded("errors of the rollouts", kPlayerWidth) +
         padded(error_words(match, sums.half_width[0]), 12) +
         padded(error_words(match, sums.half_width[1]), 12) +
         error_words(match, sums.lead_half_width) + "\n";
}

std::string balance_table(const MatchReview& review) {
  const RecordedMatch& match = review.match;
  const ReviewBalance balance = balance_of(review);
  std::string text =
      format("\nWhere the result came from, in {} of {}\n", unit_name(match), match.players[0]);
  text += padded("", kPlayerWidth) + padded(shortened(match.players[0], 11), 12) +
          padded(shortened(match.players[1], 11), 12) + "difference\n";
  text += padded("at the start", 2 * 12 + kPlayerWidth) + amount_words(match, balance.start) + "\n";
  text += luck_line(match, balance.sums.luck);
  text += cost_line(match, "cost of plays", balance.sums.cost_plays);
  text += cost_line(match, "cost of the cube", balance.sums.cost_cube);
  text += padded("values' disagreement", 2 * 12 + kPlayerWidth) +
          change_words(match, balance.disagreement) + "\n";
  if (has_rollouts(review)) text += interval_line(match, balance.sums);
  if (std::abs(balance.between_games) > kRoundingError) {
    text += padded("between games", 2 * 12 + kPlayerWidth) +
            change_words(match, balance.between_games) + "\n";
  }
  return text + padded("at the end", 2 * 12 + kPlayerWidth) + amount_words(match, balance.result) +
         "\n";
}

std::string players_table(const MatchReview& review) {
  std::string text = "\n" + padded("player", kPlayerWidth) + padded("decisions", 11) +
                     padded("cost of plays", 15) + padded("of the cube", 13) +
                     padded("a decision", 12) + "luck\n";
  for (std::size_t p = 0; p < 2; ++p) {
    const PlayerTotals& total = review.totals[p];
    const double each = total.decisions == 0 ? 0.0
                                             : (total.cost_plays + total.cost_cube) /
                                                   static_cast<double>(total.decisions);
    text += padded(shortened(review.match.players[p], kPlayerWidth - 1), kPlayerWidth) +
            padded(std::to_string(total.decisions), 11) +
            padded(format("{:.3f}", total.cost_plays), 15) +
            padded(format("{:.3f}", total.cost_cube), 13) + padded(format("{:.4f}", each), 12) +
            signed_number(total.luck, 3) + "\n";
  }
  return text;
}

/// "0.238 ± 0.021", or the static cost.
std::string cost_cell(const ReviewedTurn& turn) {
  return format("{:.3f}", turn.cost) +
         (turn.half_width ? " " + error_text(*turn.half_width, 3) : std::string());
}

std::string dearest_table(const MatchReview& review) {
  const std::vector<TurnInGame> dear = dearest_turns(review);
  if (dear.empty()) return "\nNo decision cost anything.\n";
  std::string text = "\nThe dearest decisions\n" + padded("game", 5) + padded("turn", 5) +
                     padded("player", 14) + padded("dice", 5) + padded("played", 17) +
                     padded("best", 17) + padded("cost", 14) + "moves\n";
  for (std::size_t i = 0; i < std::min(kDearestShown, dear.size()); ++i) {
    const ReviewedTurn& turn = *dear[i].turn;
    const std::string dice = turn.decision.roll ? roll_text(*turn.decision.roll) : "";
    text += padded(std::to_string(dear[i].game->number), 5) +
            padded(std::to_string(turn.number), 5) +
            padded(shortened(review.match.players[static_cast<std::size_t>(turn.player)], 13), 14) +
            padded(dice, 5) + padded(played_text(turn), 17) + padded(best_text(turn), 17) +
            padded(cost_cell(turn), 14) + change_words(review.match, moved_by(turn)) + "\n";
  }
  return text;
}

}  // namespace

std::string review_text(const MatchReview& review, const Provenance& made_by) {
  if (review.games.empty()) return head(review) + "\nNo game could be judged.\n";
  std::string text = head(review) + games_table(review) + players_table(review) +
                     balance_table(review) + dearest_table(review);
  if (review.interrupted) text += "\n" + wrapped(kStoppedNote);
  return text + "\n" + wrapped(values_words(review, made_by) + " " + units_words(review.match));
}

}  // namespace sixfold
