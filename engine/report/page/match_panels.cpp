#include "report/page/match_panels.h"

#include <algorithm>
#include <vector>

#include "base/markup.h"
#include "report/page/board_picture.h"
#include "report/page/charts.h"
#include "report/page/sheet_panels.h"
#include "report/page/sheet_parts.h"
#include "report/words/cube_words.h"
#include "report/words/names.h"
#include "report/words/plain_words.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

/// Who is at the bottom of the board: who decides, or, of an answer to a double, who has doubled.
int roller_of(const ReviewedTurn& turn) {
  const bool is_answer = turn.kind == TurnKind::kTake || turn.kind == TurnKind::kPass;
  return is_answer ? 1 - turn.player : turn.player;
}

std::string board_figure(const MatchTold& told, const TurnInGame& place) {
  const Decision& decision = place.turn->decision;
  const int roller = roller_of(*place.turn);
  const bool is_match = told.match().length > 0;
  const std::string words =
      format("Full discs: {}, whose home is at the bottom right. Ringed: {}. ", told.player(roller),
             told.player(1 - roller)) +
      format("Score {}{}.", score_words(told.record(*place.game)),
             is_match ? format(" in a {}, for {} {}", length_words(told.match()),
                               told.player(roller), decision.score.name)
                      : std::string(", for money")) +
      " Cube: " + cube_state_words(decision) + ".";
  return element("figure", {{"class", "main-board"}},
                 board_svg({decision.position, decision.roll, decision.cube, std::nullopt}) +
                     element("figcaption", {},
                             prose(words) + "<br>" +
                                 element("code", {}, position_markup(decision.position)))) +
         "\n";
}

/// What was done, what it cost, and what would have been right.
std::string verdict_line(const MatchTold& told, const TurnInGame& place) {
  const ReviewedTurn& turn = *place.turn;
  const JsonPath at = turn_path(told.review, place);
  const auto named = [](const std::string& text) { return element("b", {}, prose(text)); };
  const std::string in_games = cost_in_games(turn.decision, turn.cost);
  // No line begins with the comma.
  const std::string cost = element("span", {{"class", "unbroken"}},
                                   turn_cost_datum(turn, at) + (in_games.empty() ? ";" : ","));
  const std::string games = in_games.empty() ? "" : in_games.substr(1) + ";";
  return element(
             "p", {{"class", "words"}},
             escaped(told.player(turn.player)) + ": " + named(played_text(turn)) +
                 ". Best: " + named(best_text(turn)) + ". Cost " + cost + games + " that moves " +
                 escaped(format("{}’s {}", told.player(turn.player), unit_name(told.match()))) +
                 " by " + change_datum(told.match(), moved_by(turn), at / "moves") + "." +
                 (turn.judged_by == JudgedBy::kLookahead ? " Costs are those a roll ahead." : "")) +
         "\n";
}

/// The two plays side by side by static values.
class StaticTable {
 public:
  StaticTable(const ReviewedTurn& turn, JsonPath at) : turn_(turn), at_(std::move(at)) {}

  [[nodiscard]] std::string html() const {
    TableCells heads;
    for (const EvaluatedPlay& play : turn_.plays) heads.push_back(name(play));
    std::string rows;
    for (std::size_t o = kOutcomeCount; o-- > 0;) {
      if (std::all_of(turn_.plays.begin(), turn_.plays.end(),
                      [&](const EvaluatedPlay& play) { return play.outcomes[o] < kUnseen; })) {
        continue;
      }
      rows += row("<i class=\"chip o" + std::to_string(o) + "\"></i>" + kOutcomeWords[o],
                  [&](const EvaluatedPlay& play, const JsonPath& at) {
                    return datum(play.outcomes[o], at / "outcomes" / kOutcomeFields[o], "{:.2f}",
                                 100.0);
                  });
    }
    rows += row("equity", [](const EvaluatedPlay& play, const JsonPath& at) {
      return datum(play.equity, at / "equity", "{:+.3f}");
    });
    if (turn_.decision.score.match) {
      rows += row("to win the match, %", [&](const EvaluatedPlay& play, const JsonPath& at) {
        return datum(*match_chance(turn_.decision, play.equity), at / "match_winning_chance",
                     "{:.2f}", 100.0);
      });
    }
    return table_of("numbers", "By the net’s static values: per cent of games, and equity", heads,
                    rows);
  }

 private:
  /// Outcomes that are printed as zero.
  static constexpr double kUnseen = 0.00005;

  [[nodiscard]] std::string name(const EvaluatedPlay& play) const {
    return play_text(turn_.decision.position, *turn_.decision.roll, play.play);
  }

  template <typename Cell>
  [[nodiscard]] std::string row(const std::string& title, Cell cell) const {
    TableCells cells;
    for (std::size_t i = 0; i < turn_.plays.size(); ++i) {
      cells.push_back(cell(turn_.plays[i], at_ / "static" / i));
    }
    return table_row(title, cells);
  }

  const ReviewedTurn& turn_;
  JsonPath at_;
};

/// Where the played play is among those that were rolled out.
std::size_t rank_of_played(const ReviewedTurn& turn) {
  const std::vector<RolledPlay>& plays = turn.rolled->result.plays;
  const auto found = std::find_if(plays.begin(), plays.end(),
                                  [&](const RolledPlay& play) { return play.play == turn.played; });
  return static_cast<std::size_t>(found - plays.begin());
}

/// Why, in words: of a rollout what is beyond its intervals, else by static values.
std::string reason_line(const ReviewedTurn& turn) {
  std::string reason;
  if (turn.rolled) {
    reason = reason_words(*turn.rolled, rank_of_played(turn));
  } else if (turn.plays.size() > 1 && turn.plays[1].equity > turn.plays[0].equity) {
    reason = "The net’s static values prefer the play that was made; a roll ahead they do not.";
  } else if (turn.plays.size() > 1) {
    reason = static_reason_words(turn.decision, turn.plays[0], turn.plays[1]);
  }
  return paragraphs("words", reason) +
         paragraphs("words", fact_words(turn.decision.position, *turn.decision.roll, turn.best,
                                        turn.played));
}

std::string boards_after(const ReviewedTurn& turn) {
  std::string html;
  for (const auto& [what, play] :
       {std::pair("played", turn.played), std::pair("best", turn.best)}) {
    const std::string name = play_text(turn.decision.position, *turn.decision.roll, play);
    html += element("figure", {},
                    board_svg(picture_after(turn.decision.position, play, turn.decision.cube)) +
                        element("figcaption", {}, element("b", {}, escaped(name)) + ", " + what));
  }
  return folded("part", "The board after both plays",
                element("div", {{"class", "boards keep"}}, html) + "\n");
}

/// The play that was made first, then what was beside it.
std::vector<std::size_t> others_of(const ReviewedTurn& turn) {
  std::vector<std::size_t> others{rank_of_played(turn)};
  for (std::size_t i = 1; i < turn.rolled->result.plays.size(); ++i) {
    if (i != others.front()) others.push_back(i);
  }
  return others;
}

/// The numbers that decide: those of the rollout where there is one.
std::string play_numbers(const ReviewedTurn& turn, const JsonPath& at) {
  if (!turn.rolled) return StaticTable(turn, at).html();
  return rolled_outcomes(*turn.rolled, at / "rolled", {rank_of_played(turn)});
}

std::string play_folds(const ReviewedTurn& turn, const JsonPath& at) {
  const std::string html = boards_after(turn);
  if (!turn.rolled) return html;
  return html +
         folded("part", "All numbers of the rollout",
                rolled_numbers(*turn.rolled, at / "rolled", others_of(turn))) +
         folded("part", "What the net said before", StaticTable(turn, at).html());
}

}  // namespace

std::string decision_panel(const MatchTold& told, const TurnInGame& place) {
  const ReviewedTurn& turn = *place.turn;
  const JsonPath at = turn_path(told.review, place);
  const bool is_play = turn.kind == TurnKind::kPlay;
  std::string title = where_words(place) + ": " + told.short_name(turn.player);
  if (!is_play) title += ", the cube";
  std::string words = verdict_line(told, place);
  std::string folds;
  if (is_play) {
    words += reason_line(turn) + play_numbers(turn, at);
    folds = play_folds(turn, at);
  } else if (turn.doubling) {
    words += double_answer_panel(*turn.doubling, at / "doubling");
    folds = folded("part", "All numbers", double_numbers(*turn.doubling, at / "doubling"));
  }
  const std::string back =
      element("p", {{"class", "aside back"}},
              link_to(game_id(*place.game), format("To game {}", place.game->number)) + " · " +
                  link_to("dearest", "To all dear decisions"));
  const std::string heading =
      element("h3", {{"id", panel_id(place)}, {"class", "roll"}},
              (is_play ? dice_svg(*turn.decision.roll) : "") + element("span", {}, escaped(title)));
  const std::string top = element("div", {{"class", "top"}},
                                  board_figure(told, place) + element("div", {}, words + back));
  return element("section", {{"class", "panel decision"}},
                 element("div", {{"class", "keep"}}, heading + "\n" + top) + "\n" + folds) +
         "\n";
}

}  // namespace sixfold
