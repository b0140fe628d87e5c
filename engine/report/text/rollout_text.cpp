#include "report/text/rollout_text.h"

#include <algorithm>
#include <vector>

#include "base/format.h"
#include "report/text/bars.h"
#include "report/text/layout.h"
#include "report/text/ledger_text.h"
#include "report/text/outcome_columns.h"
#include "report/text/points_text.h"
#include "report/text/rolls_text.h"
#include "report/words/names.h"
#include "report/words/notes.h"
#include "study/ledger.h"

namespace sixfold {
namespace {

/// "0.0123 +- 0.0045", the sign of the mean shown where wanted.
std::string with_interval(const Estimate& estimate, bool sign) {
  return (sign ? format("{:+.4f}", estimate.mean) : format("{:.4f}", estimate.mean)) +
         format(" ± {:.4f}", estimate.half_width);
}

std::string verdict_rows(const RolledDecision& rolled, std::size_t width, TextStyle style) {
  std::string text =
      "    " + padded("play", width) + "       equity ±             cost ±        best  verdict\n";
  for (std::size_t i = 0; i < rolled.result.plays.size(); ++i) {
    const RolledPlay& play = rolled.result.plays[i];
    const std::string name = play_name(rolled, i);
    text += format("{:2}  ", i + 1) + padded(name, width) + "  " +
            with_interval(play.equity, true) + "  ";
    text += i == 0 ? std::string(15, ' ') : with_interval(play.cost, false);
    text += "  " + percent(play.best_probability) + "  " + verdict_cell(rolled, i, style) + "\n";
  }
  return text;
}

std::string outcome_rows(const RolledDecision& rolled, std::size_t width) {
  std::string text = "    " + padded("play", width) + kOutcomeHeading;
  for (std::size_t i = 0; i < rolled.result.plays.size(); ++i) {
    const RolledPlay& play = rolled.result.plays[i];
    const std::string name = play_name(rolled, i);
    OutcomeDistribution means;
    std::string errors = "    " + padded("", width);
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      means[o] = play.outcomes[o].mean;
      errors += format("  ±{:5.2f}", 100.0 * play.outcomes[o].half_width);
    }
    text +=
        format("{:2}  ", i + 1) + padded(name, width) + outcome_cells(means) + "\n" + errors + "\n";
  }
  return text;
}

/// How the games of the best plays end.
std::string bars_of_best(const RolledDecision& rolled) {
  constexpr std::size_t kMostBars = 4;
  std::vector<std::pair<std::string, OutcomeDistribution>> rows;
  for (const RolledPlay& play : rolled.result.plays) {
    if (rows.size() == kMostBars) break;
    rows.emplace_back(play_name(rolled, rows.size()), OutcomeDistribution{});
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      rows.back().second[o] = play.outcomes[o].mean;
    }
  }
  return outcome_bars(rows);
}

std::string ledger_of_runner_up(const RolledDecision& rolled) {
  const std::vector<RolledPlay>& plays = rolled.result.plays;
  if (plays.size() < 2) return "";
  const std::string rolls = rolls_text(rolled, 1);
  return ledger_text(ledger_of(plays[1], rolled.worth), play_name(rolled, 0),
                     play_name(rolled, 1)) +
         "\n" + rolls + (rolls.empty() ? "" : "\n");
}

/// How the games of the best play and the runner-up end with the cube.
std::string cube_tables(const RolledDecision& rolled) {
  const std::vector<RolledPlay>& plays = rolled.result.plays;
  if (!plays.front().cube) return "";
  std::vector<std::pair<std::string, const RolledCube*>> columns;
  std::string text;
  for (std::size_t i = 0; i < std::min<std::size_t>(2, plays.size()); ++i) {
    const std::string name = play_name(rolled, i);
    columns.emplace_back(name, &*plays[i].cube);
    text +=
        wrapped(name + ": cubeless equity " + with_interval(plays[i].cube->cubeless_equity, true) +
                "; " + cube_use_text(*plays[i].cube) + ".");
  }
  return text + wrapped("Cubeless equity is that of the outcomes, the cube at its present value.") +
         "\nShares of all games by points, for each unit of the present cube:\n" +
         points_text(columns) + "\n";
}

}  // namespace

std::string rollout_text(const RolledDecision& rolled, const Telling& telling, TextStyle style) {
  if (rolled.result.plays.empty()) return "Stopped before every play had its first trials.\n";
  const std::size_t width = play_width(rolled.decision, rolled.result.plays);
  const std::string table = heading(rolled.decision, style) + "\n" +
                            verdict_rows(rolled, width, style) + "\n" +
                            outcome_rows(rolled, width) + "\n" + bars_of_best(rolled) + "\n";
  const auto [least, most] = std::minmax_element(
      rolled.result.plays.begin(), rolled.result.plays.end(),
      [](const RolledPlay& a, const RolledPlay& b) { return a.trials < b.trials; });
  std::string text = format("{}", least->trials);
  if (least->trials != most->trials) {
    text += format(" to {}", most->trials);
  }
  text +=
      " " + settings_line(rolled.settings, telling.made_by) + ". " +
      interval_note(rolled.settings.confidence) +
      " Percentages are of all games; bg backgammon, g gammon, the rest single games. best: the "
      "chance that the play is the best of the list. " +
      format("{:.1f} seconds.", telling.seconds);
  if (least->trials != most->trials) text += std::string(" ") + kPairedNote;
  if (rolled.result.interrupted) text += " Stopped early: what is known so far.";
  if (rolled.result.plays.front().cube) text += std::string(" ") + kCubeNote;
  return table + cube_tables(rolled) + ledger_of_runner_up(rolled) + wrapped(text);
}

}  // namespace sixfold
