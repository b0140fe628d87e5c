#include "report/text/lesson_text.h"

#include <algorithm>
#include <optional>
#include <vector>

#include "base/format.h"
#include "report/text/board_text.h"
#include "report/text/flip_text.h"
#include "report/text/layout.h"
#include "report/text/ledger_text.h"
#include "report/words/cube_words.h"
#include "report/words/lesson_words.h"
#include "report/words/names.h"
#include "report/words/notes.h"
#include "report/words/plain_words.h"
#include "rules/notation.h"
#include "study/comparisons.h"

namespace sixfold {
namespace {

constexpr std::size_t kLabelWidth = 12;
constexpr int kGridDecimals = 3;

/// One line of the grid: a play with its wins and gammons, or with the bound that is told of it.
std::string grid_row(const std::string& label, const RolledDecision& cell, std::size_t i,
                     std::size_t width, TextStyle style) {
  const RolledPlay& play = cell.result.plays[i];
  // A long label gets a line of its own.
  const bool fits = label.size() < kLabelWidth;
  std::string text = (fits ? padded(label, kLabelWidth) : label + "\n" + padded("", kLabelWidth)) +
                     padded(play_name(cell, i), width);
  if (play.at_least) {
    // The bound stands under the costs.
    return text + padded("", 12) + "behind by over " + bound_text(*play.at_least, kGridDecimals) +
           padded("", 9) + verdict_cell(cell, i, style) + "\n";
  }
  text += percent(share_of(play, ShareOf::kWins)) + percent(share_of(play, ShareOf::kGammonsWon)) +
          " " + percent(share_of(play, ShareOf::kGammonsLost)) + " " +
          signed_number(play.equity.mean, kGridDecimals);
  if (i == 0) return text + "\n";
  return text + format(" {:.3f} ", play.cost.mean) +
         padded(error_text(play.cost.half_width, kGridDecimals), 8) + verdict_cell(cell, i, style) +
         "\n";
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
    const auto second = runner_up(*cell);
    if (second && is_open(cell->result.plays[*second])) {
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
  const auto second = runner_up(cell);
  if (second) ranks.push_back(*second);
  for (const std::size_t rank : compared_ranks(cell, remarks)) {
    if (rank != *second) ranks.push_back(rank);
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
  constexpr std::size_t kColumn = 19;
  std::string text =
      "\nBefore the roll: double?\n" + padded("", 2 * kLabelWidth) + padded(wait_name(), kColumn);
  text += padded(take_name({}), kColumn) + pass_name() + "\n";
  for (const CubeStudy& study : lesson.doubles) {
    // A long name gets a line of its own.
    const std::string& name = study.decision.score.name;
    std::string row = name.size() < 2 * kLabelWidth ? padded(name, 2 * kLabelWidth)
                                                    : name + "\n" + padded("", 2 * kLabelWidth);
    for (const CubeWay& way : ways_of(study)) {
      row += padded(
          signed_number(way.equity, kGridDecimals) +
              (way.rolled == nullptr ? std::string()
                                     : " " + error_text(way.rolled->half_width, kGridDecimals)),
          kColumn);
    }
    while (row.back() == ' ') row.pop_back();
    text += row + "\n" + wrapped(double_words(study)) + wrapped(match_words(study));
  }
  return text;
}

/// What `told` says of the plays that are shown, by score; empty where it says nothing of any.
template <typename Told>
std::string sentence_on_plays(const std::string& what,
                              const std::vector<const RolledDecision*>& cells,
                              const RollRemarks* remarks, const Told& told) {
  std::string text;
  for (const RolledDecision* cell : cells) {
    std::string plays;
    for (const std::size_t rank : ranks_shown(*cell, remarks)) {
      const RolledPlay& play = cell->result.plays[rank];
      const std::optional<std::string> words = play.at_least ? std::nullopt : told(*cell, play);
      if (words) plays += (plays.empty() ? " " : ", ") + play_name(*cell, rank) + " " + *words;
    }
    if (plays.empty()) continue;
    text += (text.empty() ? what + " at " : "; at ") + cell->decision.score.name + ":" + plays;
  }
  return text.empty() ? text : text + ".";
}

/// The chances to win the match after the plays that are shown; empty where there is no match.
std::string match_sentence(const std::vector<const RolledDecision*>& cells,
                           const RollRemarks* remarks) {
  return sentence_on_plays("Chance to win the match", cells, remarks,
                           [](const RolledDecision& cell, const RolledPlay& play) {
                             const auto chance = match_chance(cell.decision, play.equity);
                             return chance ? std::optional(match_percent(*chance)) : std::nullopt;
                           });
}

/// The cubeless equities of the plays that are shown; empty where there is no cube.
std::string cubeless_sentence(const std::vector<const RolledDecision*>& cells,
                              const RollRemarks* remarks) {
  return sentence_on_plays(
      "Cubeless equity", cells, remarks, [](const RolledDecision&, const RolledPlay& play) {
        return play.cube ? std::optional(signed_interval(cubeless_equity(play), kGridDecimals))
                         : std::nullopt;
      });
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
          "   win win g+ lose g+ equity  cost ± half-width\n";
  for (const RolledDecision* cell : cells) {
    for (const std::size_t rank : ranks_shown(*cell, remarks)) {
      text += grid_row(rank == 0 ? cell->decision.score.name : "", *cell, rank, width, style);
    }
  }
  if (cells.size() > 1) text += wrapped(roll_summary(cells));
  text += wrapped(match_sentence(cells, remarks)) + wrapped(cubeless_sentence(cells, remarks)) +
          "\n" + ledger_rows(cells);
  for (std::size_t i = 0; i < lesson.flips.size(); ++i) {
    const FlipStudy& flip = lesson.flips[i];
    if (flip.roll != roll) continue;
    text += "\nRoll " + roll_text(roll) +
            ": the best play by what gammons are worth, without the cube\n" + flip_tables(flip) +
            flip_note(flip, telling.of_flip(i));
  }
  return text;
}

/// Whether a play that is told in full has fewer trials than the best one of its cell.
bool any_uneven(const Lesson& lesson) {
  for (const RolledDecision& cell : lesson.cells) {
    for (const RolledPlay& play : cell.result.plays) {
      if (!play.at_least && play.trials != cell.result.plays.front().trials) return true;
    }
  }
  return false;
}

/// "600" or "600 to 2400": trials of the plays that are told in full.
std::string trials_of_best(const Lesson& lesson) {
  const auto [least, most] = std::minmax_element(
      lesson.cells.begin(), lesson.cells.end(), [](const auto& a, const auto& b) {
        return a.result.plays.front().trials < b.result.plays.front().trials;
      });
  const std::uint64_t few = least->result.plays.front().trials;
  const std::uint64_t many = most->result.plays.front().trials;
  return few == many ? format("{}", few) : format("{} to {}", few, many);
}

std::string foot(const Lesson& lesson, const Provenance& made_by) {
  const bool any_cube = std::any_of(
      lesson.cells.begin(), lesson.cells.end(),
      [](const RolledDecision& cell) { return cell.result.plays.front().cube.has_value(); });
  return "For each score the best play and, below it, the runner-up with its cost and verdict. "
         "win, lose: shares of all games; g+: by a gammon or more, bg: by a backgammon. Equity is "
         "in points at money; at a match score losing a single game counts -1 and winning one "
         "+1. " +
         (any_cube ? kCubeNote + std::string(" ") : std::string()) +
         interval_note(lesson.plan.settings.confidence) + " " +
         (any_uneven(lesson) ? kPairedNote + std::string(" ") : std::string()) +
         trials_of_best(lesson) + " " + settings_line(lesson.plan.settings, made_by) + "." +
         (lesson.stopped ? " Stopped early: what is known so far." : "");
}

}  // namespace

std::string lesson_text(const Lesson& lesson, const LessonTelling& telling, TextStyle style) {
  const LessonPlan& plan = lesson.plan;
  std::string text;
  if (!plan.title.empty()) text += plan.title + "\n";
  if (!plan.notes.empty()) text += wrapped(plan.notes);
  text += against(telling.made_by);
  text += "Position  " + position_text(plan.position) + "\n" + cube_line(lesson_cube_words(plan)) +
          "\n" + board_text(plan.position, std::nullopt, cube_of(plan), style) +
          doubles_part(lesson);
  const std::size_t width = play_width(lesson);
  for (const Roll roll : plan.rolls) text += roll_part(lesson, telling, roll, width, style);
  if (!lesson.cells.empty()) return text + "\n" + wrapped(foot(lesson, telling.made_by));
  if (plan.rolls.empty())
    return text + "\n" + wrapped("Computed with " + computed_words(lesson, telling));
  return text + "\nStopped before the first roll was done.\n";
}

}  // namespace sixfold
