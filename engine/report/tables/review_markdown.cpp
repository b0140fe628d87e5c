#include "report/tables/review_markdown.h"

#include <algorithm>
#include <cmath>

#include "base/markup.h"
#include "report/tables/markdown_parts.h"
#include "report/words/review_words.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

using Cells = std::vector<std::string>;

std::string player_of(const MatchReview& review, int player) {
  return markdown_literal(review.match.players[static_cast<std::size_t>(player)]);
}

std::string amount_cell(const RecordedMatch& match, double value) {
  return with_minus_sign(amount_words(match, value));
}
std::string change_cell(const RecordedMatch& match, double value) {
  return with_minus_sign(change_words(match, value));
}

std::string title_and_head(const MatchReview& review, const Provenance& made_by) {
  const RecordedMatch& match = review.match;
  std::string text = "# " + player_of(review, 0) + " against " + player_of(review, 1) + ", " +
                     length_words(match) + "\n\n";
  for (const std::string* each : {&match.event, &match.round, &match.place, &match.date}) {
    if (!each->empty()) text += markdown_literal(*each) + "\n\n";
  }
  text += "**" + markdown_literal(result_words(match)) + "** ";
  return text + markdown_literal(values_words(review, made_by)) + "\n\n";
}

std::string players_part(const MatchReview& review) {
  std::vector<Cells> rows;
  for (const int player : {0, 1}) {
    const PlayerTotals& total = review.totals[static_cast<std::size_t>(player)];
    rows.push_back({player_of(review, player), std::to_string(total.decisions),
                    format("{:.3f}", total.cost_plays), format("{:.3f}", total.cost_cube),
                    with_minus_sign(format("{:+.3f}", total.luck))});
  }
  return markdown_table({"player", "decisions", "cost of plays", "of the cube", "luck"}, rows);
}

/// The balance of the match, and of each game in a column of its own line.
std::string balance_part(const MatchReview& review) {
  const RecordedMatch& match = review.match;
  std::vector<Cells> rows;
  const auto add = [&](const std::string& name, const ReviewBalance& balance) {
    const auto lead = [&](const std::array<double, 2>& of) {
      return change_cell(match, of[0] - of[1]);
    };
    const auto loss = [&](const std::array<double, 2>& of) {
      return change_cell(match, of[1] - of[0]);
    };
    rows.push_back({name, amount_cell(match, balance.start), lead(balance.sums.luck),
                    loss(balance.sums.cost_plays), loss(balance.sums.cost_cube),
                    change_cell(match, balance.disagreement), amount_cell(match, balance.result)});
  };
  for (const ReviewedGame& game : review.games) {
    const RecordedGame& record = match.games[game.number - 1];
    add(format("game {}, {}", game.number, score_words(record)), balance_of(game));
  }
  const ReviewBalance whole = balance_of(review);
  add("**all games**", whole);
  std::string text =
      "## Where the result came from\n\nIn " + markdown_literal(unit_of_first(match)) +
      ": what luck, plays and the cube moved, and what the net’s own values disagree by.\n\n" +
      markdown_table({"", "at the start", "luck", "plays", "cube", "disagreement", "at the end"},
                     rows);
  if (has_rollouts(review)) {
    text += "Costs that were rolled out are known, in sum, to " +
            error_words(match, whole.sums.half_width[0]) + " and " +
            error_words(match, whole.sums.half_width[1]) + ", their difference to " +
            error_words(match, whole.sums.lead_half_width) + ".\n\n";
  }
  if (std::abs(whole.between_games) > kRoundingError) {
    text += "Between games: " + change_cell(match, whole.between_games) + ".\n\n";
  }
  return text;
}

std::string cost_cell(const ReviewedTurn& turn) {
  return format("{:.3f}", turn.cost) +
         (turn.half_width ? format(" ± {:.3f}", *turn.half_width) : std::string());
}

std::string dearest_part(const MatchReview& review) {
  const std::vector<TurnInGame> dear = dearest_turns(review);
  std::string text = "## The dearest decisions\n\n";
  if (dear.empty()) return text + "No decision cost anything.\n\n";
  std::vector<Cells> rows;
  for (std::size_t i = 0; i < std::min(kDearestShown, dear.size()); ++i) {
    const ReviewedTurn& turn = *dear[i].turn;
    rows.push_back({std::to_string(dear[i].game->number), std::to_string(turn.number),
                    player_of(review, turn.player),
                    "`" + position_text(turn.decision.position) + "`",
                    turn.decision.roll ? roll_text(*turn.decision.roll) : "–",
                    markdown_literal(played_text(turn)), markdown_literal(best_text(turn)),
                    cost_cell(turn), change_cell(review.match, moved_by(turn))});
  }
  return text + markdown_table({"game", "turn", "player", "position", "dice", "played", "best",
                                "cost", "moves"},
                               rows);
}

/// The value after every so many turns, twelve at most, and at the end.
std::string course_part(const MatchReview& review, const ReviewedGame& game) {
  constexpr std::size_t kMost = 12;
  const RecordedMatch& match = review.match;
  const RecordedGame& record = match.games[game.number - 1];
  const std::size_t step = std::max<std::size_t>(1, (game.turns.size() + kMost - 1) / kMost);
  std::vector<Cells> rows{{"–", "start", amount_cell(match, game.start)}};
  for (std::size_t i = step - 1; i < game.turns.size(); i += step) {
    const ReviewedTurn& turn = game.turns[i];
    rows.push_back({std::to_string(turn.number),
                    player_of(review, turn.player) + " " + markdown_literal(deed_words(turn)),
                    amount_cell(match, turn.value)});
  }
  rows.push_back(
      {"–", markdown_literal(end_words(match, record)), amount_cell(match, game.result)});
  return format("## Game {}, {}\n\n", game.number, score_words(record)) +
         markdown_table({"turn", "after",
                         match.length > 0 ? player_of(review, 0) + " to win the match"
                                          : "points of " + player_of(review, 0)},
                        rows);
}

}  // namespace

std::string review_markdown(const MatchReview& review, const Provenance& made_by,
                            const std::string& command) {
  std::string text = title_and_head(review, made_by);
  if (review.interrupted) text += std::string(kStoppedNote) + "\n\n";
  if (review.games.empty()) {
    text += "No game could be judged.\n\n";
  } else {
    text += players_part(review) + balance_part(review) + dearest_part(review) +
            markdown_literal(units_words(review.match)) + "\n\n";
    for (const ReviewedGame& game : review.games) text += course_part(review, game);
  }
  for (const std::string& complaint : review.complaints) {
    text += "- " + markdown_literal(complaint) + "\n";
  }
  return text + "\n---\n\nComputed by Sixfold " + made_by.version + ".\n\n```\n" + command +
         "\n```\n";
}

}  // namespace sixfold
