#include "report/text/lesson_text.h"

#include <algorithm>
#include <vector>

#include "base/format.h"
#include "report/text/board_text.h"
#include "report/text/flip_text.h"
#include "report/text/layout.h"
#include "report/text/ledger_text.h"
#include "report/words/names.h"
#include "report/words/notes.h"
#include "report/words/plain_words.h"
#include "rules/notation.h"
#include "study/comparisons.h"

namespace sixfold {
namespace {

double share_of(const RolledPlay& play, std::initializer_list<std::size_t> outcomes) {
  double share = 0.0;
  for (const std::size_t o : outcomes) share += play.outcomes[o].mean;
  return share;
}

constexpr std::size_t kLabelWidth = 12;

/// One line of the grid: a play with its wins and gammons.
std::string grid_row(const std::string& label, const RolledDecision& cell, std::size_t i,
                     std::size_t width, TextStyle style) {
  const RolledPlay& play = cell.result.plays[i];
  const std::string name = play_name(cell, i);
  // A long label gets a line of its own.
  const bool fits = label.size() < kLabelWidth;
  std::string text = (fits ? padded(label, kLabelWidth) : label + "\n" + padded("", kLabelWidth)) +
                     padded(name, width) + percent(share_of(play, {3, 4, 5})) +
                     percent(share_of(play, {4, 5})) + " " + percent(share_of(play, {0, 1})) +
                     format(" {:+.3f}", play.equity.mean);
  if (i == 0) return text + "\n";
  return text + format(" {:.3f} ± {:.3f} ", play.cost.mean, play.cost.half_width) +
         verdict_cell(cell, i, style) + "\n";
}

/// Which play comes out best at which score, and where the intervals leave that open.
std::string roll_summary(const std::vector<const RolledDecision*>& cells) {
  const auto append = [](std::string& list, const char* separator, const std::string& entry) {
    list += (list.empty() ? "" : separator) + entry;
  };
  std::string by_score;
  std::string open;
  bool same = true;
  for (const RolledDecision* cell : cells) {
    same = same && play_name(*cell, 0) == play_name(*cells.front(), 0);
    append(by_score, "; ", cell->decision.score.name + " " + play_name(*cell, 0));
    const auto& plays = cell->result.plays;
    if (plays.size() > 1 && is_open(plays[1])) {
      append(open, ", ", cell->decision.score.name);
    }
  }
  const std::string text = same ? play_name(*cells.front(), 0) + " comes out best at every score"
                                : "Different plays come out best: " + by_score;
  return text + (open.empty()
                     ? "."
                     : ". Not settled, the runner-up being within the error: " + open + ".");
}

/// What the text shows of a cell: the best play, the runner-up, and the plays that the author
/// names.
std::vector<std::size_t> ranks_shown(const RolledDecision& cell, const RollRemarks* remarks) {
  std::vector<std::size_t> ranks{0};
  if (cell.result.plays.size() > 1) ranks.push_back(1);
  for (const std::size_t rank : compared_ranks(cell, remarks)) {
    if (rank > 1) ranks.push_back(rank);
  }
  return ranks;
}

std::size_t play_width(const Lesson& lesson) {
  std::size_t width = 15;
  for (const RolledDecision& cell : lesson.cells) {
    const Roll roll = *cell.decision.roll;
    for (const std::size_t rank : ranks_shown(cell, remarks_on(lesson.plan, roll))) {
      const PlayKey play = cell.result.plays[rank].play;
      width = std::max(width, play_text(cell.decision.position, roll, play).size() + 1);
    }
  }
  return width;
}

std::string doubles_part(const Lesson& lesson) {
  if (lesson.doubles.empty()) return "";
  std::string text = "\nBefore the roll: double?\n" + padded("", kLabelWidth + 12) +
                     "no double  double/take  double/pass\n";
  for (const CubeStudy& study : lesson.doubles) {
    const CubeDecision& found = study.equities;
    const auto cell = [](const std::optional<double>& equity) {
      return equity ? format("{:+13.3f}", *equity) : padded("", 12) + "-";
    };
    text += padded(study.decision.score.name, kLabelWidth + 12) +
            format("{:+9.3f}", found.no_double) + cell(found.double_take) +
            cell(found.double_pass) + "\n" + wrapped(double_words(study));
  }
  return text;
}

std::string roll_part(const Lesson& lesson, const LessonTelling& telling, Roll roll,
                      std::size_t width, TextStyle style) {
  std::vector<const RolledDecision*> cells;
  for (const RolledDecision& cell : lesson.cells) {
    if (*cell.decision.roll == roll) cells.push_back(&cell);
  }
  if (cells.empty()) return "";
  const RollRemarks* const remarks = remarks_on(lesson.plan, roll);
  std::string text = "\n";
  if (remarks != nullptr && !remarks->notes.empty()) text += wrapped(remarks->notes);
  text += padded("Roll " + roll_text(roll), kLabelWidth + width) +
          "  wins  won g lost g equity  cost ± half-width\n";
  for (const RolledDecision* cell : cells) {
    for (const std::size_t rank : ranks_shown(*cell, remarks)) {
      text += grid_row(rank == 0 ? cell->decision.score.name : "", *cell, rank, width, style);
    }
  }
  if (cells.size() > 1) text += wrapped(roll_summary(cells));
  text += "\n" + ledger_rows(cells);
  for (std::size_t i = 0; i < lesson.flips.size(); ++i) {
    const FlipStudy& flip = lesson.flips[i];
    if (flip.roll != roll) continue;
    text += "\nRoll " + roll_text(roll) + ": the best play by what gammons are worth\n" +
            flip_tables(flip) + flip_note(flip, telling.of_flip(i));
  }
  return text;
}

std::string foot(const Lesson& lesson, const Provenance& made_by) {
  const bool any_cube = std::any_of(
      lesson.cells.begin(), lesson.cells.end(),
      [](const RolledDecision& cell) { return cell.result.plays.front().cube.has_value(); });
  return "For each score the best play and, below it, the runner-up with its cost and verdict. "
         "won g, lost g: gammons and backgammons, as a share of all games. Equity is in points at "
         "money; at a match score losing a single game counts -1 and winning one +1. " +
         (any_cube ? kCubeNote + std::string(" ") : std::string()) +
         interval_note(lesson.plan.settings.confidence) + " " + kPairedNote + " " +
         format("{} or more ", whole_blocks(lesson.plan.settings.trials)) +
         settings_line(lesson.plan.settings, made_by) + "." +
         (lesson.stopped ? " Stopped early: what is known so far." : "");
}

}  // namespace

std::string lesson_text(const Lesson& lesson, const LessonTelling& telling, TextStyle style) {
  const LessonPlan& plan = lesson.plan;
  std::string text;
  if (!plan.title.empty()) text += plan.title + "\n";
  if (!plan.notes.empty()) text += wrapped(plan.notes);
  text += "Position  " + position_text(plan.position) + "\n" + cube_line(plan.cube, plan.money) +
          "\n" + board_text(plan.position, std::nullopt, plan.cube, style) + doubles_part(lesson);
  const std::size_t width = play_width(lesson);
  for (const Roll roll : plan.rolls) text += roll_part(lesson, telling, roll, width, style);
  if (!lesson.cells.empty()) return text + "\n" + wrapped(foot(lesson, telling.made_by));
  if (plan.rolls.empty())
    return text + "\n" + wrapped("Computed with " + computed_words(lesson, telling));
  return text + "\nStopped before the first roll was done.\n";
}

}  // namespace sixfold
