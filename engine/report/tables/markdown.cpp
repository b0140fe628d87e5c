#include <algorithm>
#include <array>
#include <optional>
#include <vector>

#include "base/markup.h"
#include "report/tables/lesson_tables.h"
#include "report/tables/markdown_parts.h"
#include "report/text/board_text.h"
#include "report/text/flip_text.h"
#include "report/words/cube_words.h"
#include "report/words/fact_table.h"
#include "report/words/flip_words.h"
#include "report/words/ledger_lines.h"
#include "report/words/lesson_words.h"
#include "report/words/names.h"
#include "report/words/notes.h"
#include "report/words/plain_words.h"
#include "report/words/warnings.h"
#include "rules/notation.h"
#include "study/comparisons.h"
#include "study/ledger.h"

namespace sixfold {
namespace {

constexpr int kDecimals = 3;

std::string interval(const Estimate& estimate, bool has_sign, double scale = 1.0) {
  const int digits = scale == 1.0 ? kDecimals : 2;
  const double mean = estimate.mean * scale;
  return with_minus_sign(has_sign ? format("{:+.{}f}", mean, digits)
                                  : format("{:.{}f}", mean, digits)) +
         format(" ± {:.{}f}", estimate.half_width * scale, digits);
}

std::string cost_text(const RolledPlay& play) {
  if (play.at_least) return "over " + bound_text(*play.at_least, kDecimals);
  return is_equal(play) ? "equal" : interval(play.cost, false);
}

/// What is right at each score, how sure that is, and the closest rival.
std::string answers_text(const Lesson& lesson) {
  std::vector<std::vector<std::string>> rows;
  for (const CubeStudy& study : lesson.doubles) {
    rows.push_back({"before it", study.decision.score.name, action_words(study.equities),
                    sureness_words(study), "–", "–", "–"});
  }
  for (const RolledDecision& cell : lesson.cells) {
    const std::vector<RolledPlay>& plays = cell.result.plays;
    const std::vector<std::size_t> open = open_ranks(cell);
    const auto second = open.empty() ? runner_up(cell) : open.front();
    std::vector<std::string> row{roll_text(*cell.decision.roll), cell.decision.score.name,
                                 markdown_literal(play_name(cell, 0)),
                                 open.empty() ? "settled" : "open",
                                 chance_words(plays.front().best_probability)};
    row.push_back(second ? markdown_literal(play_name(cell, *second)) : "–");
    row.push_back(second ? cost_text(plays[*second]) : "–");
    rows.push_back(row);
  }
  return markdown_table(
      {"roll", "score", "answer", "how sure", "chance it is the best", "closest rival", "costs"},
      rows);
}

/// Won games, those won and those lost by a gammon or more, in 100.
std::string shares_text(const RolledPlay& play) {
  const auto share = [&](ShareOf of) { return format("{:.1f}", 100.0 * share_of(play, of)); };
  return share(ShareOf::kWins) + ", " + share(ShareOf::kGammonsWon) + ", " +
         share(ShareOf::kGammonsLost);
}

/// What the best play gives at a score.
std::string prospect_text(const RolledDecision& cell) {
  const Estimate& equity = cell.result.plays.front().equity;
  const auto chance = match_chance(cell.decision, equity);
  return chance ? match_percent(*chance) : interval(equity, true);
}

/// The plays of a roll side by side at all its scores.
std::string side_by_side(const Lesson& lesson, Roll roll) {
  const std::vector<std::size_t> cells = cells_of(lesson, roll);
  std::vector<std::string> heads{"costs"};
  for (const std::size_t c : cells) heads.push_back(lesson.cells[c].decision.score.name);
  std::vector<std::vector<std::string>> rows;
  for (const PlayKey play : plays_side_by_side(lesson, roll)) {
    std::vector<std::string> row{markdown_literal(play_text(lesson.plan.position, roll, play))};
    for (const std::size_t c : cells) {
      const RolledDecision& cell = lesson.cells[c];
      const auto rank = rank_of(cell, play);
      if (!rank) {
        row.emplace_back("–");
        continue;
      }
      const RolledPlay& found = cell.result.plays[*rank];
      std::string text = *rank == 0 ? std::string("**best**") : cost_text(found);
      if (*rank > 0 && is_open(found)) text += ", open";
      if (!found.at_least) text += " (" + shares_text(found) + ")";
      row.push_back(text);
    }
    rows.push_back(row);
  }
  std::vector<std::string> prospects{"the best play gives"};
  for (const std::size_t c : cells) prospects.push_back(prospect_text(lesson.cells[c]));
  rows.push_back(prospects);
  return markdown_table(heads, rows) +
         "In brackets, in 100 games: won, won by a gammon or more, lost by a gammon or more. The "
         "last line: equity at money, the chance to win the match elsewhere.\n\n";
}

/// In per cent; where the interval reaches zero, below what the share is.
std::string share_text(const Estimate& share) {
  const bool is_known = share.half_width == 0.0 || share.mean > share.half_width;
  return is_known ? interval(share, false, 100.0)
                  : format("under {:.2f}", 100.0 * (share.mean + share.half_width));
}

/// The outcomes of the best play and another, in per cent.
std::string outcomes_text(const RolledDecision& cell, std::size_t other) {
  std::vector<std::vector<std::string>> rows;
  for (std::size_t o = kOutcomeCount; o-- > 0;) {
    rows.push_back({kOutcomeWords[o], share_text(cell.result.plays[0].outcomes[o]),
                    share_text(cell.result.plays[other].outcomes[o])});
  }
  return markdown_table({"% of games", markdown_literal(play_name(cell, 0)),
                         markdown_literal(play_name(cell, other))},
                        rows);
}

std::string facts_table(const Lesson& lesson, Roll roll) {
  constexpr std::size_t kMost = 3;
  const std::vector<PlayKey> plays = plays_side_by_side(lesson, roll, kMost);
  std::vector<std::vector<std::string>> rows;
  for (const FactRow& row : fact_rows(lesson.plan.position, plays)) {
    std::vector<std::string> cells{row.term.name};
    for (const FactRow::Cell& cell : row.cells) {
      cells.push_back(cell.changed ? "**" + cell.text + "**" : cell.text);
    }
    rows.push_back(cells);
  }
  if (rows.empty()) return "";
  std::vector<std::string> heads{"fact (bold: changed)", "before"};
  for (const PlayKey play : plays) {
    heads.push_back(markdown_literal(play_text(lesson.plan.position, roll, play)));
  }
  return markdown_table(heads, rows);
}

/// Where the cost of a play comes from.
std::string ledger_of_play(const RolledDecision& cell, std::size_t other) {
  const Ledger ledger = ledger_of(cell.result.plays[other], cell.worth);
  std::vector<std::vector<std::string>> rows;
  for (std::size_t i = 0; i < ledger.lines.size(); ++i) {
    const LedgerLine& line = ledger.lines[i];
    if (!is_worth_a_row(line)) continue;
    rows.push_back({kShareWords[i], interval(line.change, true, 100.0),
                    with_minus_sign(format("{:+.2f}", line.price)), interval(line.worth, true)});
  }
  if (ledger.cube) rows.push_back({"the cube", "", "", interval(*ledger.cube, true)});
  rows.push_back({"cost", "", "", interval(ledger.cost, true)});
  return markdown_table({"what " + markdown_literal(play_name(cell, 0)) + " gains on " +
                             markdown_literal(play_name(cell, other)),
                         "in 100 games", "worth each", "equity"},
                        rows);
}

/// Why, at one score: in words, outcomes, and the ledger of what the best play is compared with.
std::string score_text(const Lesson& lesson, std::size_t number) {
  const RolledDecision& cell = lesson.cells[number];
  const std::string why = why_words(lesson, number);
  if (why.empty()) return "";
  std::string text = "**" + cell.decision.score.name + ".** " + markdown_literal(why) + "\n\n";
  const RollRemarks* const remarks = remarks_on(lesson.plan, *cell.decision.roll);
  const std::size_t other = compared_ranks(cell, remarks).front();
  if (cell.result.plays[other].at_least) return text;
  return text + outcomes_text(cell, other) + ledger_of_play(cell, other);
}

std::string roll_part(const Lesson& lesson, const LessonTelling& telling, Roll roll) {
  std::string text = "## Roll " + roll_text(roll) + "\n\n";
  const RollRemarks* const remarks = remarks_on(lesson.plan, roll);
  if (remarks != nullptr && !remarks->notes.empty())
    text += markdown_literal(remarks->notes) + "\n\n";
  text += side_by_side(lesson, roll);
  const std::vector<Comparison> pairs = comparisons(lesson, roll);
  if (!pairs.empty()) {
    const std::string facts =
        fact_words(lesson.plan.position, roll, pairs.front().best, pairs.front().other);
    if (!facts.empty()) text += markdown_literal(facts) + "\n\n";
  }
  for (const std::size_t c : cells_of(lesson, roll)) text += score_text(lesson, c);
  if (!pairs.empty()) text += facts_table(lesson, roll);
  for (std::size_t i = 0; i < lesson.flips.size(); ++i) {
    const FlipStudy& flip = lesson.flips[i];
    if (flip.roll != roll) continue;
    text += "### Where the verdict flips\n\n```\n" + flip_tables(flip) + "```\n\n" +
            markdown_literal(flip_words(flip, telling.of_flip(i))) + "\n\n";
  }
  return text;
}

std::string doubles_text(const Lesson& lesson) {
  if (lesson.doubles.empty()) return "";
  std::vector<std::vector<std::string>> rows;
  for (const CubeStudy& study : lesson.doubles) {
    std::vector<std::string> row{study.decision.score.name};
    for (const CubeWay& way : ways_of(study)) {
      row.push_back(with_minus_sign(format("{:+.{}f}", way.equity, kDecimals)) +
                    (way.rolled == nullptr
                         ? std::string()
                         : format(" ± {:.{}f}", way.rolled->half_width, kDecimals)));
    }
    row.resize(4, "–");  // Where he may not double.
    row.push_back(double_words(study) + (study.decision.score.match ? " " : "") +
                  match_words(study));
    rows.push_back(row);
  }
  return "## Before the roll: double?\n\n" +
         markdown_table({"score", wait_name(), take_name({}), pass_name(), "verdict"}, rows);
}

}  // namespace

std::string lesson_markdown(const Lesson& lesson, const LessonTelling& telling,
                            const std::string& command) {
  const LessonPlan& plan = lesson.plan;
  std::string title = plan.title.empty() ? std::string("Lesson") : plan.title;
  std::replace(title.begin(), title.end(), '\n', ' ');
  std::string text = "# " + markdown_literal(title) + "\n\n";
  if (!plan.notes.empty()) text += markdown_literal(plan.notes) + "\n\n";
  const std::string opponent = opponent_note(telling.made_by);
  if (!opponent.empty()) text += markdown_literal(opponent) + "\n\n";
  const std::vector<Roll> rolls = rolls_with_results(lesson);
  text += "**" + question_words(plan, rolls, !lesson.doubles.empty()) + "** " + cube_note(plan) +
          "\n\n```\n" + board_text(plan.position, std::nullopt, cube_of(plan)) +
          position_text(plan.position) + "\n```\n\n";
  for (const std::string& warning : position_warnings(plan.position)) {
    text += "Warning: " + markdown_literal(warning) + "\n\n";
  }
  text += answers_text(lesson) + doubles_text(lesson);
  for (const Roll roll : rolls) text += roll_part(lesson, telling, roll);
  return text + "---\n\n" +
         markdown_literal("Computed by Sixfold " + telling.made_by.version + " with " +
                          computed_words(lesson, telling)) +
         "\n\n```\n" + command + "\n```\n";
}

}  // namespace sixfold
