#include "report/page/sheet_panels.h"

#include <algorithm>
#include <array>
#include <utility>
#include <vector>

#include "base/markup.h"
#include "report/page/charts.h"
#include "report/page/rolls_panel.h"
#include "report/page/sheet_parts.h"
#include "report/page/sheet_roll.h"
#include "report/words/fact_table.h"
#include "report/words/flip_words.h"
#include "report/words/ledger_lines.h"
#include "report/words/lesson_words.h"
#include "report/words/names.h"
#include "report/words/notes.h"
#include "report/words/plain_words.h"
#include "rules/notation.h"
#include "study/comparisons.h"
#include "study/ledger.h"

namespace sixfold {
namespace {

/// All numbers of one roll at one score: the best play and those that it is compared with.
class ScoreSection {
 public:
  ScoreSection(const RolledDecision& rolled, JsonPath plays, const std::vector<std::size_t>& others)
      : rolled_(rolled), plays_(std::move(plays)), ranks_{0} {
    for (const std::size_t rank : others) {
      if (!play(rank).at_least && ranks_.size() < kMostPlays) ranks_.push_back(rank);
    }
  }

  [[nodiscard]] std::string html() const {
    return words() + element("div", {{"class", "pair"}},
                             element("div", {}, pictures()) +
                                 element("div", {}, outcomes_table() + ledgers()));
  }

  [[nodiscard]] std::string outcomes_table() const {
    TableCells heads;
    for (const std::size_t rank : ranks_) heads.push_back(name(rank));
    std::string rows = outcome_rows();
    rows += row("equity", [&](std::size_t rank) {
      return interval_data(play(rank).equity, path(rank) / "equity", true);
    });
    if (rolled_.decision.score.match) {
      rows += row("to win the match", [&](std::size_t rank) {
        return chance_data(*match_chance(rolled_.decision, play(rank).equity),
                           path(rank) / "match_winning_chance");
      });
    }
    rows += row("cost", [&](std::size_t rank) {
      return rank == 0 ? std::string("–") : cost_data(play(rank), path(rank));
    });
    if (play(0).cube) {
      rows += row("equity, cube left out", [&](std::size_t rank) {
        return interval_data(cubeless_equity(play(rank)), path(rank) / "cubeless_equity", true);
      });
    }
    rows += row("best of all, chance",
                [&](std::size_t rank) { return chance_words(play(rank).best_probability); });
    rows += row("trials", [&](std::size_t rank) {
      return datum(static_cast<double>(play(rank).trials), path(rank) / "trials", "{:.0f}");
    });
    return table_of("numbers", "Per cent of games, and equity", heads, rows);
  }

 private:
  static constexpr std::size_t kMostPlays = 4;  // There is no room for more beside each other.

  [[nodiscard]] const RolledPlay& play(std::size_t rank) const {
    return rolled_.result.plays[rank];
  }
  [[nodiscard]] std::string name(std::size_t rank) const { return play_name(rolled_, rank); }
  [[nodiscard]] JsonPath path(std::size_t rank) const { return plays_ / rank; }

  /// Of the plays compared beyond the first, of which the panel of the roll tells.
  [[nodiscard]] std::string words() const {
    std::string html;
    for (std::size_t i = 2; i < ranks_.size(); ++i) {
      html += paragraphs("words", verdict_and_reason(rolled_, ranks_[i]));
    }
    return html;
  }

  [[nodiscard]] std::string pictures() const {
    std::vector<OutcomeBar> bars;
    for (const std::size_t rank : ranks_) bars.push_back({name(rank), play(rank).outcomes});
    std::string html =
        element("figure", {},
                outcome_bars_svg(bars) +
                    element("figcaption", {}, "Outcomes, % of all games; losses left")) +
        "\n";
    if (rolled_.result.plays.size() < 2) return html;
    return html +
           element("figure", {},
                   costs() + element("figcaption", {}, "Costs of the contested plays")) +
           "\n";
  }

  /// The plays that may be best or nearly so, and those that are compared.
  [[nodiscard]] std::string costs() const {
    constexpr std::size_t kMost = 5;
    std::vector<IntervalPoint> points;
    for (std::size_t i = 0; i < rolled_.result.plays.size(); ++i) {
      const bool is_compared = std::find(ranks_.begin(), ranks_.end(), i) != ranks_.end();
      if (!is_compared && (play(i).at_least || points.size() >= kMost)) continue;
      points.push_back({name(i), play(i).cost, verdict_text(rolled_, i)});
    }
    std::vector<Threshold> thresholds;
    if (rolled_.grades.error) thresholds.push_back({*rolled_.grades.error, "error"});
    if (rolled_.grades.blunder) thresholds.push_back({*rolled_.grades.blunder, "blunder"});
    return interval_points_svg(points, thresholds,
                               "cost in equity against " + name(0) + ", with its interval");
  }

  /// A row with a cell for each play.
  template <typename Cell>
  [[nodiscard]] std::string row(const std::string& title, Cell cell) const {
    TableCells cells;
    for (const std::size_t rank : ranks_) cells.push_back(cell(rank));
    return table_row(title, cells);
  }

  [[nodiscard]] std::string outcome_rows() const {
    std::string rows;
    for (std::size_t o = kOutcomeCount; o-- > 0;) {
      const bool any = std::any_of(ranks_.begin(), ranks_.end(), [&](std::size_t rank) {
        return play(rank).outcomes[o].mean > 0.0 || play(rank).outcomes[o].half_width > 0.0;
      });
      if (!any) continue;
      rows += row("<i class=\"chip o" + std::to_string(o) + "\"></i>" + kOutcomeWords[o],
                  [&](std::size_t rank) {
                    return share_data(play(rank).outcomes[o],
                                      path(rank) / "outcomes" / kOutcomeFields[o]);
                  });
    }
    return rows;
  }

  [[nodiscard]] std::string ledgers() const {
    std::string html;
    for (std::size_t i = 1; i < ranks_.size(); ++i) {
      html += ledger_table(ranks_[i]) + rolls_panel(rolled_, ranks_[i], path(ranks_[i]));
    }
    for (const std::size_t rank : ranks_) {
      if (play(rank).cube) {
        html += paragraphs("aside", name(rank) + ": " + cube_use_text(*play(rank).cube) + ".");
      }
    }
    return html;
  }

  [[nodiscard]] std::string ledger_table(std::size_t other) const {
    const Ledger ledger = ledger_of(play(other), rolled_.worth);
    const JsonPath entries = path(other) / "ledger";
    std::string rows;
    for (std::size_t i = 0; i < ledger.lines.size(); ++i) {
      const LedgerLine& line = ledger.lines[i];
      if (!is_worth_a_row(line)) continue;
      const JsonPath at = entries / i;
      rows += table_row(kShareWords[i], {interval_data(line.change, at / "change", true, 100.0),
                                         datum(line.price, at / "price", "{:+.2f}"),
                                         interval_data(line.worth, at / "worth", true)});
    }
    if (ledger.cube) {
      rows += table_row(
          "the cube",
          {"", "", interval_data(*ledger.cube, entries / ledger.lines.size() / "worth", true)});
    }
    rows += table_row("cost", {"", "", interval_data(ledger.cost, path(other) / "cost", true)});
    return table_of("ledger", "What " + name(0) + " gains on " + name(other),
                    {"in 100 games", "worth each", "equity"}, rows);
  }

  const RolledDecision& rolled_;
  JsonPath plays_;
  std::vector<std::size_t> ranks_;
};

std::string facts_table(const Lesson& lesson, Roll roll) {
  constexpr std::size_t kMost = 3;
  constexpr std::size_t kShort = 8;
  const std::vector<PlayKey> plays = plays_side_by_side(lesson, roll, kMost);
  TableCells heads{"before"};
  for (const PlayKey play : plays) heads.push_back(play_text(lesson.plan.position, roll, play));
  std::string rows;
  for (const FactRow& row : fact_rows(lesson.plan.position, plays)) {
    TableCells cells;
    for (const FactRow::Cell& cell : row.cells) {
      const std::string shown = cell.text == "-" ? "–" : cell.text;
      const std::string text =
          cell.changed ? element("mark", {}, escaped(shown + "\u00a0*")) : escaped(shown);
      const bool is_short = cell.text.size() <= kShort;
      cells.push_back(is_short ? element("span", {{"class", "unbroken"}}, text) : text);
    }
    rows += table_row(escaped(row.term.name), cells);
  }
  if (rows.empty()) return "";
  return folded("part", "Facts, counted",
                table_of("facts",
                         "* marks what the play changes; of two counts of rolls the first is for "
                         "one checker or more, the second for two or all",
                         heads, rows));
}

std::string flip_panel(const Lesson& lesson, const LessonTelling& telling, std::size_t number) {
  const FlipStudy& study = lesson.flips[number];
  // The lesson's scores at the value of its cube, the named ones else.
  std::vector<PlaneScore> scores;
  for (const RolledDecision& cell : lesson.cells) {
    if (*cell.decision.roll != study.roll) continue;
    scores.push_back({cell.decision.score.name, gammon_prices(cell.worth)});
  }
  for (const PlaneScore& named : study.named) {
    const bool is_new = std::none_of(scores.begin(), scores.end(), [&](const PlaneScore& score) {
      return score.name == named.name;
    });
    if (is_new) scores.push_back(named);
  }
  const std::string caption = format(
      "Best play by what a gammon is worth, the cube left out; small dots: all scores to {}-away, "
      "at a cube of 1; by name: those of the lesson, at the value of its cube",
      study.most_away);
  std::string plays;
  for (std::size_t i = 0; i < study.flip.best_somewhere(); ++i) {
    plays +=
        element("li", {},
                element("i", {{"class", "chip p" + std::to_string(i % 6)}}, "") +
                    element("b", {}, std::string(1, static_cast<char>('A' + static_cast<int>(i)))) +
                    " " + escaped(play_text(study.position, study.roll, study.flip.plays()[i])));
  }
  std::string rows;
  for (std::size_t i = 0; i < study.checks.size(); ++i) {
    const FlipCheck& check = study.checks[i];
    const JsonPath at = flip_check_path(number, i);
    rows += table_row(
        escaped(format("{:.2f} and {:.2f}", check.plane.prices.own, check.plane.prices.opponents)),
        {interval_data(check.plane.lead, at / "lead", true),
         interval_data(check.direct, at / "direct", true)});
  }
  const std::string told =
      element("ul", {{"class", "plays"}}, plays) + "\n" +
      paragraphs("words", break_even_words(study, true)) +
      paragraphs("words", break_even_words(study, false)) +
      table_of("checks", "The plane against rollouts there, by what each side's gammons are worth",
               {"lead on the plane", "rolled out"}, rows) +
      paragraphs("aside", flip_words(study, telling.of_flip(number)));
  return folded(
      "part", "Where the verdict flips, over all scores",
      element("div", {{"class", "pair keep"}},
              element("figure", {},
                      flip_plane_svg(study, scores) + element("figcaption", {}, escaped(caption))) +
                  element("div", {}, told)));
}

/// Of a cell of the lesson, folded.
std::string score_section(const Lesson& lesson, std::size_t number) {
  const RolledDecision& cell = lesson.cells[number];
  const RollRemarks* const remarks = remarks_on(lesson.plan, *cell.decision.roll);
  return folded("score", cell.decision.score.name + ": all numbers",
                rolled_numbers(cell, plays_path(number), compared_ranks(cell, remarks)));
}

}  // namespace

std::string rolled_outcomes(const RolledDecision& rolled, const JsonPath& plays,
                            const std::vector<std::size_t>& others) {
  return ScoreSection(rolled, plays, others).outcomes_table();
}

std::string rolled_numbers(const RolledDecision& rolled, const JsonPath& plays,
                           const std::vector<std::size_t>& others) {
  return ScoreSection(rolled, plays, others).html();
}

std::string folded_parts(const Lesson& lesson, const LessonTelling& telling, Roll roll) {
  std::string html;
  const std::vector<std::size_t> cells = cells_of(lesson, roll);
  for (const std::size_t c : cells) html += score_section(lesson, c);
  if (lesson.cells[cells.front()].result.plays.size() > 1) html += facts_table(lesson, roll);
  const std::string others = other_plays_table(lesson, roll);
  if (!others.empty()) html += folded("part", "Other plays", others);
  for (std::size_t i = 0; i < lesson.flips.size(); ++i) {
    if (lesson.flips[i].roll == roll) html += flip_panel(lesson, telling, i);
  }
  return html;
}

}  // namespace sixfold
