#include "report/page/sheet_panels.h"

#include <algorithm>
#include <array>
#include <vector>

#include "base/markup.h"
#include "report/page/board_picture.h"
#include "report/page/charts.h"
#include "report/page/sheet_parts.h"
#include "report/words/fact_table.h"
#include "report/words/flip_words.h"
#include "report/words/names.h"
#include "report/words/notes.h"
#include "report/words/plain_words.h"
#include "rules/notation.h"
#include "study/comparisons.h"
#include "study/ledger.h"

namespace sixfold {
namespace {

/// The numbers of one roll at one score, best play against another.
class ScoreSection {
 public:
  ScoreSection(const Lesson& lesson, const Comparison::At& at)
      : rolled_(lesson.cells[at.cell]), cell_(at.cell), other_(at.other) {}

  [[nodiscard]] std::string html() const {
    const std::string words =
        element("p", {{"class", "words"}},
                escaped(verdict_words(rolled_, other_) + " " + reason_words(rolled_, other_)));
    return element("section", {{"class", "score keep"}},
                   element("h4", {}, escaped(rolled_.decision.score.name)) + "\n" + words + "\n" +
                       element("div", {{"class", "pair"}},
                               element("div", {}, pictures()) + element("div", {}, tables()))) +
           "\n";
  }

 private:
  [[nodiscard]] const RolledPlay& play(std::size_t rank) const {
    return rolled_.result.plays[rank];
  }
  [[nodiscard]] std::string name(std::size_t rank) const { return play_name(rolled_, rank); }
  [[nodiscard]] JsonPath path(std::size_t rank) const { return play_path(cell_, rank); }

  [[nodiscard]] std::string pictures() const {
    const std::array<OutcomeBar, 2> bars{OutcomeBar{name(0), play(0).outcomes},
                                         OutcomeBar{name(other_), play(other_).outcomes}};
    return element("figure", {},
                   outcome_bars_svg(bars) +
                       element("figcaption", {}, "Outcomes, % of all games; losses left")) +
           "\n" +
           element("figure", {},
                   costs() + element("figcaption", {}, "Costs of the contested plays")) +
           "\n";
  }

  /// The plays that may be best or nearly so, and the one that is compared.
  [[nodiscard]] std::string costs() const {
    constexpr std::size_t kMost = 5;
    std::vector<IntervalPoint> points;
    for (std::size_t i = 0; i < rolled_.result.plays.size(); ++i) {
      if (i != other_ && i > 0 && (play(i).at_least || points.size() >= kMost)) continue;
      points.push_back({name(i), play(i).cost, verdict_text(rolled_, i)});
    }
    std::vector<Threshold> thresholds;
    if (rolled_.grades.error) thresholds.push_back({*rolled_.grades.error, "error"});
    if (rolled_.grades.blunder) thresholds.push_back({*rolled_.grades.blunder, "blunder"});
    return interval_points_svg(points, thresholds,
                               "cost in equity against " + name(0) + ", with its interval");
  }

  [[nodiscard]] std::string tables() const { return outcomes_table() + ledger_table(); }

  [[nodiscard]] std::string outcomes_table() const {
    const auto row = [&](const std::string& title, auto cell) {
      return table_row(title, {cell(std::size_t{0}), cell(other_)});
    };
    std::string rows;
    for (std::size_t o = kOutcomeCount; o-- > 0;) {
      rows += row(
          std::string("<i class=\"chip ") + "o" + std::to_string(o) + "\"></i>" + kOutcomeWords[o],
          [&](std::size_t rank) {
            return interval_data(play(rank).outcomes[o],
                                 path(rank) / "outcomes" / kOutcomeFields[o], false, 100.0);
          });
    }
    rows += row("equity", [&](std::size_t rank) {
      return interval_data(play(rank).equity, path(rank) / "equity", true);
    });
    rows += row("cost", [&](std::size_t rank) {
      return rank == 0 ? std::string("–")
                       : interval_data(play(rank).cost, path(rank) / "cost", false);
    });
    if (play(0).cube) {
      rows += row("equity, cube left out", [&](std::size_t rank) {
        return interval_data(play(rank).cube->cubeless_equity, path(rank) / "cubeless_equity",
                             true);
      });
    }
    rows += row("best of all, chance",
                [&](std::size_t rank) { return chance_words(play(rank).best_probability); });
    rows += row("trials", [&](std::size_t rank) {
      return datum(static_cast<double>(play(rank).trials), path(rank) / "trials", "{:.0f}");
    });
    return table_of("numbers", "Per cent of games, and equity", {name(0), name(other_)}, rows);
  }

  [[nodiscard]] std::string ledger_table() const {
    const Ledger ledger = ledger_of(play(other_), rolled_.worth);
    const JsonPath entries = path(other_) / "ledger";
    std::string rows;
    for (std::size_t i = 0; i < ledger.lines.size(); ++i) {
      const LedgerLine& line = ledger.lines[i];
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
    rows += table_row("cost", {"", "", interval_data(ledger.cost, path(other_) / "cost", true)});
    std::string html = table_of("ledger", "What " + name(0) + " gains on " + name(other_),
                                {"in 100 games", "worth each", "equity"}, rows);
    for (const std::size_t rank : {std::size_t{0}, other_}) {
      if (!play(rank).cube) continue;
      html += element("p", {{"class", "aside"}},
                      escaped(name(rank) + ": " + cube_use_text(*play(rank).cube) + ".")) +
              "\n";
    }
    return html;
  }

  const RolledDecision& rolled_;
  std::size_t cell_;
  std::size_t other_;
};

std::string facts_table(const Position& before, Roll roll, const std::array<PlayKey, 2>& plays) {
  std::string rows;
  for (const FactRow& row : fact_rows(before, plays)) {
    TableCells cells;
    for (const FactRow::Cell& cell : row.cells) {
      cells.push_back(cell.changed ? element("mark", {}, escaped(cell.text + " *"))
                                   : escaped(cell.text));
    }
    rows += table_row(escaped(row.term.name), cells);
  }
  return table_of("facts",
                  "Facts, counted. * marks what the play changes; of two counts of rolls the first "
                  "is for one checker or more, the second for two or all",
                  {"before", play_text(before, roll, plays[0]), play_text(before, roll, plays[1])},
                  rows);
}

std::string comparison_panel(const Lesson& lesson, Roll roll, const Comparison& comparison) {
  const Position& position = lesson.plan.position;
  const std::array<PlayKey, 2> plays{comparison.best, comparison.other};
  std::string boards;
  for (const PlayKey play : plays) {
    boards +=
        element("figure", {},
                board_svg(picture_after(position, play, lesson.plan.cube)) +
                    element("figcaption", {},
                            "After " + element("b", {}, escaped(play_text(position, roll, play)))));
  }
  std::string scores;
  std::string names;
  for (const Comparison::At& at : comparison.at) {
    scores += ScoreSection(lesson, at).html();
    names += (names.empty() ? "" : ", ") + lesson.cells[at.cell].decision.score.name;
  }
  const std::string words = fact_words(position, roll, plays[0], plays[1]);
  return element("article", {{"class", "panel"}},
                 element("div", {{"class", "keep"}},
                         element("h3", {},
                                 escaped(play_text(position, roll, plays[0]) + " against " +
                                         play_text(position, roll, plays[1]))) +
                             element("p", {{"class", "aside"}}, escaped("At " + names + ".")) +
                             "\n" + element("div", {{"class", "boards"}}, boards) + "\n" +
                             paragraphs("words", words)) +
                     "\n" +
                     element("div", {{"class", "keep"}}, facts_table(position, roll, plays)) +
                     "\n" + scores) +
         "\n";
}

/// A roll that leaves no choice.
std::string forced_panel(const Lesson& lesson, Roll roll) {
  std::string rows;
  std::string play;
  for (std::size_t c = 0; c < lesson.cells.size(); ++c) {
    const RolledDecision& cell = lesson.cells[c];
    if (*cell.decision.roll != roll) continue;
    play = play_text(lesson.plan.position, roll, cell.result.plays.front().play);
    rows += table_row(
        escaped(cell.decision.score.name),
        {interval_data(cell.result.plays.front().equity, play_path(c, 0) / "equity", true)});
  }
  const std::string words = play == "no play" ? "The roll can't be played."
                                              : "There is only one legal play, " + play + ".";
  return element("article", {{"class", "panel keep"}},
                 element("h3", {}, "No choice") + paragraphs("words", words) +
                     table_of("numbers", "Equity at each score", {"equity"}, rows)) +
         "\n";
}

std::string flip_panel(const Lesson& lesson, const LessonTelling& telling, std::size_t number) {
  const FlipStudy& study = lesson.flips[number];
  // The lesson's scores with its cube, the named ones else.
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
      "Best play by what a gammon is worth; small dots: all scores to {}-away, the cube at "
      "1; by name: those of the lesson, with its cube",
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
        escaped(format("{:.2f} / {:.2f}", check.plane.prices.own, check.plane.prices.opponents)),
        {interval_data(check.plane.lead, at / "lead", true),
         interval_data(check.direct, at / "direct", true)});
  }
  return element(
             "article", {{"class", "panel keep"}},
             element("h3", {}, "Where the verdict flips") + "\n" +
                 element(
                     "div", {{"class", "pair"}},
                     element("figure", {},
                             flip_plane_svg(study, scores) + element("figcaption", {}, caption)) +
                         element("div", {},
                                 element("ul", {{"class", "plays"}}, plays) + "\n" +
                                     paragraphs("words", break_even_words(study, true)) +
                                     paragraphs("words", break_even_words(study, false)) +
                                     table_of("checks", "The plane against rollouts there",
                                              {"lead on the plane", "rolled out"}, rows) +
                                     paragraphs("aside",
                                                flip_words(study, telling.of_flip(number)))))) +
         "\n";
}

}  // namespace

std::string roll_panels(const Lesson& lesson, const LessonTelling& telling, Roll roll) {
  std::string html;
  const std::vector<Comparison> pairs = comparisons(lesson, roll);
  for (const Comparison& pair : pairs) html += comparison_panel(lesson, roll, pair);
  if (pairs.empty()) html += forced_panel(lesson, roll);
  for (std::size_t i = 0; i < lesson.flips.size(); ++i) {
    if (lesson.flips[i].roll == roll) html += flip_panel(lesson, telling, i);
  }
  return html;
}

}  // namespace sixfold
