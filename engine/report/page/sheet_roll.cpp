#include "report/page/sheet_roll.h"

#include <algorithm>
#include <utility>
#include <vector>

#include "base/markup.h"
#include "report/page/board_picture.h"
#include "report/page/sheet_parts.h"
#include "report/words/lesson_words.h"
#include "report/words/names.h"
#include "report/words/plain_words.h"
#include "rules/notation.h"
#include "study/comparisons.h"

namespace sixfold {
namespace {

/// Games won, won by a gammon or more, lost by a gammon or more.
std::string shares_line(const RolledPlay& play, const JsonPath& at) {
  return element("span", {{"class", "shares"}},
                 share_of_data(play, ShareOf::kWins, at) + " · " +
                     share_of_data(play, ShareOf::kGammonsWon, at) + " · " +
                     share_of_data(play, ShareOf::kGammonsLost, at));
}

/// What a play costs at a score.
std::string cost_cell(const Lesson& lesson, std::size_t number, PlayKey play, bool with_shares) {
  const RolledDecision& rolled = lesson.cells[number];
  const std::string& score = rolled.decision.score.name;
  const auto rank = rank_of(rolled, play);
  if (!rank) return list_cell("unknown", score, "–");
  const RolledPlay& found = rolled.result.plays[*rank];
  const JsonPath at = play_path(number, *rank);
  std::string kind(verdict_name(verdict_of(*rank == 0, found)));
  std::string text;
  if (*rank == 0) {
    text = element("b", {}, "best") + " " + sureness(open_ranks(rolled).empty());
  } else if (is_equal(found)) {
    kind = "equal";
    text = "equal";
  } else {
    text = cost_data(found, at);
    if (is_open(found)) text = element("span", {{"class", "is-open"}}, "○") + " " + text;
    if (const auto grade = grade_of(found, rolled.grades)) {
      text += " " + element("span", {{"class", "grade"}}, std::string(grade_name(*grade)));
    }
  }
  std::string html = element("span", {{"class", "cost"}}, text);
  if (with_shares && !found.at_least) html += shares_line(found, at);
  return list_cell(kind, score, html);
}

/// What the best play gives at a score: equity, or the chance to win the match.
std::string prospect_cell(const Lesson& lesson, std::size_t number) {
  const RolledDecision& rolled = lesson.cells[number];
  const Estimate& equity = rolled.result.plays.front().equity;
  const JsonPath at = play_path(number, 0);
  const auto chance = match_chance(rolled.decision, equity);
  const std::string text = chance ? chance_data(*chance, at / "match_winning_chance")
                                  : interval_data(equity, at / "equity", true);
  return list_cell(
      "prospect", rolled.decision.score.name,
      element("span", {{"class", "cost"}}, text) +
          element("span", {{"class", "shares"}}, chance ? "to win the match" : "points a game"));
}

TableCells score_names(const Lesson& lesson, const std::vector<std::size_t>& cells) {
  TableCells names;
  for (const std::size_t c : cells) names.push_back(lesson.cells[c].decision.score.name);
  return names;
}

std::string compare_table(const Lesson& lesson, Roll roll, const std::vector<PlayKey>& plays) {
  const std::vector<std::size_t> cells = cells_of(lesson, roll);
  std::string rows;
  for (const PlayKey play : plays) {
    std::string row;
    for (const std::size_t c : cells) row += cost_cell(lesson, c, play, true);
    rows += list_row(escaped(play_text(lesson.plan.position, roll, play)), row);
  }
  std::string prospects;
  for (const std::size_t c : cells) prospects += prospect_cell(lesson, c);
  rows += list_row("The best play gives", prospects);
  return list_table("compare",
                    "What each play costs in equity against the best; below, in 100 games: won · "
                    "won by a gammon or more · lost by a gammon or more",
                    score_names(lesson, cells), rows);
}

std::string boards(const Lesson& lesson, Roll roll, const std::vector<PlayKey>& plays) {
  constexpr std::size_t kMost = 3;
  std::string html;
  const std::size_t best = best_somewhere(lesson, roll);
  for (std::size_t i = 0; i < std::min({plays.size(), kMost, std::max<std::size_t>(best, 2)});
       ++i) {
    const std::string where = best_at(lesson, roll, plays[i]);
    html += element(
        "figure", {},
        board_svg(picture_after(lesson.plan.position, plays[i], cube_of(lesson.plan))) +
            element("figcaption", {},
                    element("b", {}, escaped(play_text(lesson.plan.position, roll, plays[i]))) +
                        (where.empty() ? "" : ", " + escaped(where))));
  }
  return element("div", {{"class", "boards keep"}}, html) + "\n";
}

std::string reasons(const Lesson& lesson, Roll roll) {
  std::string html;
  for (const std::size_t c : cells_of(lesson, roll)) {
    const std::string words = why_words(lesson, c);
    if (words.empty()) continue;
    html += element("p", {{"class", "words"}},
                    element("b", {}, escaped(lesson.cells[c].decision.score.name)) + ": " +
                        prose(words)) +
            "\n";
  }
  return html;
}

/// What can be counted on the boards of the two plays that are compared first.
std::string counted_words(const Lesson& lesson, Roll roll) {
  const std::vector<Comparison> pairs = comparisons(lesson, roll);
  if (pairs.empty()) return "";
  return paragraphs(
      "words", fact_words(lesson.plan.position, roll, pairs.front().best, pairs.front().other));
}

/// A roll that leaves no choice.
std::string forced_panel(const Lesson& lesson, Roll roll, PlayKey play) {
  const std::string name = play_text(lesson.plan.position, roll, play);
  std::string prospects;
  const std::vector<std::size_t> cells = cells_of(lesson, roll);
  for (const std::size_t c : cells) prospects += prospect_cell(lesson, c);
  return paragraphs("words", name == "no play" ? "The roll can't be played."
                                               : "There is only one legal play, " + name + ".") +
         list_table("compare keep", "What it gives at each score", score_names(lesson, cells),
                    list_row(escaped(name), prospects));
}

}  // namespace

std::string side_by_side_panel(const Lesson& lesson, Roll roll) {
  const std::vector<PlayKey> plays = plays_side_by_side(lesson, roll);
  if (plays.size() == 1) return forced_panel(lesson, roll, plays.front());
  return element("div", {{"class", "keep"}}, compare_table(lesson, roll, plays)) + "\n" +
         boards(lesson, roll, plays) + counted_words(lesson, roll) + reasons(lesson, roll);
}

std::string other_plays_table(const Lesson& lesson, Roll roll) {
  constexpr std::size_t kMost = 12;
  const std::vector<PlayKey> shown = plays_side_by_side(lesson, roll);
  const std::vector<std::size_t> cells = cells_of(lesson, roll);
  std::string rows;
  std::size_t count = 0;
  for (const RolledPlay& other : lesson.cells[cells.front()].result.plays) {
    if (std::find(shown.begin(), shown.end(), other.play) != shown.end()) continue;
    if (++count > kMost) continue;
    std::string row;
    for (const std::size_t c : cells) row += cost_cell(lesson, c, other.play, false);
    rows += list_row(escaped(play_text(lesson.plan.position, roll, other.play)), row);
  }
  if (count == 0) return "";
  std::string caption = "What they cost, in the order of the first score";
  if (count > kMost) caption += format("; {} more are left out", count - kMost);
  return list_table("compare", caption, score_names(lesson, cells), rows);
}

}  // namespace sixfold
