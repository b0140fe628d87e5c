#include "report/page/match_tables.h"

#include <array>
#include <cmath>
#include <utility>

#include "base/markup.h"
#include "report/page/sheet_parts.h"
#include "report/words/names.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

/// Costs that are printed as zero.
constexpr double kUnseen = 0.0005;

/// The lines of a balance; `at` is its place in the JSON.
class BalanceRows {
 public:
  BalanceRows(const MatchReview& review, const ReviewBalance& balance, JsonPath at)
      : match_(review.match),
        balance_(balance),
        has_rollouts_(has_rollouts(review)),
        at_(std::move(at)) {}

  [[nodiscard]] std::string html() const {
    const ReviewSums& sums = balance_.sums;
    std::string rows = row("at the start", amount_datum(match_, balance_.start, at_ / "start"));
    rows += both("luck of the rolls", sums.luck, "luck", 0);
    rows += both("cost of plays", sums.cost_plays, "cost_plays", 1);
    rows += both("cost of the cube", sums.cost_cube, "cost_cube", 1);
    rows += row("values’ disagreement",
                change_datum(match_, balance_.disagreement, at_ / "disagreement"));
    if (has_rollouts_) rows += errors();
    if (std::abs(balance_.between_games) > kRoundingError) {
      rows +=
          row("between games", change_datum(match_, balance_.between_games, at_ / "between_games"));
    }
    return rows + row("at the end", amount_datum(match_, balance_.result, at_ / "result"));
  }

 private:
  static std::string row(const char* name, const std::string& content) {
    return table_row(name, {"", "", content});
  }

  /// What each player has; `of` is the one whose share counts for the first player.
  [[nodiscard]] std::string both(const char* name, const std::array<double, 2>& of_players,
                                 const char* field, std::size_t of) const {
    const JsonPath at = at_ / field;
    TableCells cells;
    for (const std::size_t p : {0u, 1u}) {
      cells.push_back(of == 0             ? change_datum(match_, of_players[p], at / p)
                      : match_.length > 0 ? datum(of_players[p], at / p, "{:.2f}%", 100.0)
                                          : datum(of_players[p], at / p, "{:.3f}"));
    }
    cells.push_back(lead_datum(match_, of_players, at, of));
    return table_row(name, cells);
  }

  /// How well the costs are known that were rolled out.
  [[nodiscard]] std::string errors() const {
    const auto cell = [&](double half_width, const JsonPath& at) {
      return "± " + (match_.length > 0 ? datum(half_width, at, "{:.2f}%", 100.0)
                                       : datum(half_width, at, "{:.3f}"));
    };
    const ReviewSums& sums = balance_.sums;
    return table_row("errors of the rollouts",
                     {cell(sums.half_width[0], at_ / "cost_half_width" / 0),
                      cell(sums.half_width[1], at_ / "cost_half_width" / 1),
                      cell(sums.lead_half_width, at_ / "disagreement_half_width")});
  }

  const RecordedMatch& match_;
  const ReviewBalance& balance_;
  bool has_rollouts_;
  JsonPath at_;
};

std::string balance_table(const MatchTold& told, const ReviewBalance& balance, const JsonPath& at,
                          const std::string& caption) {
  return table_of("balance", caption, {told.short_name(0), told.short_name(1), "difference"},
                  BalanceRows(told.review, balance, at).html());
}

constexpr std::array kBalanceHeads{"at the start", "luck",         "plays",
                                   "cube",         "disagreement", "at the end"};

/// A balance in one line; `at` is its place.
std::string balance_cells(const RecordedMatch& match, const ReviewBalance& balance,
                          const JsonPath& at) {
  const std::array<std::string, 6> cells{
      amount_datum(match, balance.start, at / "start"),
      lead_datum(match, balance.sums.luck, at / "luck"),
      lead_datum(match, balance.sums.cost_plays, at / "cost_plays", 1),
      lead_datum(match, balance.sums.cost_cube, at / "cost_cube", 1),
      change_datum(match, balance.disagreement, at / "disagreement"),
      amount_datum(match, balance.result, at / "result")};
  std::string html;
  for (std::size_t i = 0; i < cells.size(); ++i) {
    html += list_cell("amount", kBalanceHeads[i], cells[i]);
  }
  return html;
}

/// Who did what, and what would have been best.
std::string deed_cell(const MatchTold& told, const RecordedTurn& turn, const std::string& deed,
                      const std::string& best) {
  std::string html = element("b", {}, escaped(told.short_name(turn.player))) + " " + escaped(deed);
  if (!best.empty()) html += element("span", {{"class", "shares"}}, "best: " + escaped(best));
  return html;
}

std::string game_cost(const MatchTold& told, const TurnInGame& place) {
  const ReviewedTurn& turn = *place.turn;
  if (turn.is_forced) return "forced";
  const std::string cost = turn_cost_datum(turn, turn_path(told.review, place));
  if (!told.has_panel(turn)) return turn.cost < kUnseen && !turn.half_width ? "–" : cost;
  return element("a", {{"href", "#" + panel_id(place)}}, element("mark", {}, "◆ " + cost));
}

std::string judged_row(const MatchTold& told, const RecordedTurn& record, const TurnInGame& place) {
  const ReviewedTurn& turn = *place.turn;
  const JsonPath at = turn_path(told.review, place);
  const std::string best = turn.cost >= kUnseen ? best_text(turn) : "";
  return table_row(format("{}", turn.number),
                   {deed_cell(told, record, deed_words(turn), best), game_cost(told, place),
                    turn.luck ? datum(*turn.luck, at / "luck", "{:+.3f}") : std::string("–"),
                    amount_datum(told.match(), turn.value, at / "value")});
}

/// A turn with nothing to judge, such as a double of a cube that nobody has any use for.
std::string other_row(const MatchTold& told, std::size_t number, const RecordedTurn& turn) {
  const std::string deed = turn.is_beaver ? "beaver" : std::string(kind_name(turn.kind));
  return table_row(format("{}", number), {deed_cell(told, turn, deed, ""), "not judged", "–", "–"});
}

}  // namespace

std::string players_table(const MatchTold& told) {
  std::string rows;
  for (const std::size_t p : {0u, 1u}) {
    const PlayerTotals& total = told.review.totals[p];
    const JsonPath at = JsonPath() / "totals" / p;
    const double cost = total.cost_plays + total.cost_cube;
    const auto decisions = static_cast<double>(total.decisions);
    rows += table_row(escaped(told.short_name(static_cast<int>(p))),
                      {datum(decisions, at / "decisions", "{:.0f}"),
                       datum(total.cost_plays, at / "cost_plays", "{:.3f}"),
                       datum(total.cost_cube, at / "cost_cube", "{:.3f}"),
                       decisions == 0.0 ? std::string("–") : format("{:.4f}", cost / decisions),
                       datum(total.luck, at / "luck", "{:+.3f}")});
  }
  return table_of("players", "Both players in equity, at each turn’s score and cube",
                  {"decisions", "cost of plays", "of the cube", "a decision", "luck"}, rows);
}

std::string match_balance_table(const MatchTold& told) {
  return balance_table(told, balance_of(told.review), JsonPath() / "balance",
                       "Where the result came from, in " + unit_of_first(told.match()));
}

std::string game_balance_table(const MatchTold& told, const ReviewedGame& game) {
  return balance_table(told, balance_of(game), game_path(told.review, game) / "balance",
                       "Where the game’s result came from, in " + unit_of_first(told.match()));
}

std::string games_table(const MatchTold& told) {
  std::string rows;
  for (const ReviewedGame& game : told.review.games) {
    const RecordedGame& record = told.record(game);
    const std::string about = score_words(record) + ", " + end_words(told.match(), record);
    rows += list_row(
        link_to(game_id(game), format("Game {}", game.number)) +
            element("span", {{"class", "shares"}}, escaped(about)),
        balance_cells(told.match(), balance_of(game), game_path(told.review, game) / "balance"));
  }
  rows += list_row("All games",
                   balance_cells(told.match(), balance_of(told.review), JsonPath() / "balance"));
  return list_table("compare games",
                    format("Game by game, in {}: what luck, plays and the cube moved",
                           unit_of_first(told.match())),
                    {kBalanceHeads.begin(), kBalanceHeads.end()}, rows);
}

std::string dearest_table(const MatchTold& told) {
  std::string rows;
  for (const TurnInGame& place : told.panels) {
    const ReviewedTurn& turn = *place.turn;
    const JsonPath at = turn_path(told.review, place);
    const std::string name = element("th", {{"scope", "row"}, {"role", "rowheader"}},
                                     link_to(panel_id(place), where_words(place)));
    const std::string deed = escaped(told.short_name(turn.player)) + " " + prose(deed_words(turn));
    const std::string rival = "best: " + prose(best_text(turn)) + "; moves " +
                              change_datum(told.match(), moved_by(turn), at / "moves");
    rows += element("tr", {{"role", "row"}},
                    name + list_cell("choice", "", deed) + list_cell("rival", "", rival) +
                        list_cell("sure", "", turn_cost_datum(turn, at))) +
            "\n";
  }
  return element(
             "table", {{"class", "glance dear"}, {"role", "table"}},
             element("caption", {},
                     escaped(format("Who did what; what would have been best and what that moves "
                                    "in {}; the cost in equity",
                                    unit_name(told.match())))) +
                 "\n" + element("tbody", {{"role", "rowgroup"}}, "\n" + rows)) +
         "\n";
}

std::string record_table(const MatchTold& told, const ReviewedGame& game) {
  const RecordedGame& record = told.record(game);
  std::string rows;
  auto judged = game.turns.begin();
  for (std::size_t t = 0; t < record.turns.size(); ++t) {
    bool any = false;
    for (; judged != game.turns.end() && judged->number == t + 1; ++judged) {
      rows += judged_row(told, record.turns[t], {&game, &*judged});
      any = true;
    }
    if (!any) rows += other_row(told, t + 1, record.turns[t]);
  }
  const bool is_match = told.match().length > 0;
  return table_of("record",
                  format("◆ leads to a panel; the last column is what the {} worth after the turn",
                         is_match ? "match is" : "game is"),
                  {"turn", "cost", "luck", is_match ? "to win" : "points"}, rows);
}

}  // namespace sixfold
