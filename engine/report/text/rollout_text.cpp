#include "report/text/rollout_text.h"

#include <algorithm>
#include <string_view>
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
#include "report/words/plain_words.h"
#include "study/comparisons.h"
#include "study/ledger.h"

namespace sixfold {
namespace {

/// Columns of a table of verdicts beside rank and play: equity, cost, best, verdict.
constexpr std::size_t kVerdictColumns = 18 + 17 + 8 + 9;

/// Of the column of cubeless equities.
constexpr std::string_view kCubelessHead = " cubeless";

/// Whether the plays were rolled out with a cube that somebody may turn.
bool has_cube(const RolledDecision& rolled) { return rolled.result.plays.front().cube.has_value(); }

/// Ranks of the plays that are told in full, best first: all but those that were set aside.
std::vector<std::size_t> told_ranks(const RolledDecision& rolled) {
  std::vector<std::size_t> ranks;
  for (std::size_t i = 0; i < rolled.result.plays.size(); ++i) {
    if (!rolled.result.plays[i].at_least) ranks.push_back(i);
  }
  return ranks;
}

/// The two that are set side by side: the best and the runner-up, where that is told in full.
std::vector<std::size_t> compared(const RolledDecision& rolled) {
  std::vector<std::size_t> ranks = told_ranks(rolled);
  if (ranks.size() > 2) ranks.resize(2);
  return ranks;
}

OutcomeDistribution means_of(const RolledPlay& play) {
  OutcomeDistribution means;
  for (std::size_t o = 0; o < kOutcomeCount; ++o) means[o] = play.outcomes[o].mean;
  return means;
}

/// Equity and cost; a bound stands under the costs.
std::string equity_and_cost(const RolledPlay& play, bool is_best) {
  if (play.at_least) {
    return padded("     behind by over " + bound_text(*play.at_least, kEquityDecimals), 35);
  }
  return padded("  " + signed_interval(play.equity, kEquityDecimals), 18) +
         (is_best ? padded("", 17)
                  : padded(format("  {:.4f} ", play.cost.mean) +
                               error_text(play.cost.half_width, kEquityDecimals),
                           17));
}

std::string verdict_rows(const RolledDecision& rolled, std::size_t width, TextStyle style) {
  std::string text = padded("    play", kRankWidth + width) +
                     "   equity ±           cost ±          best  verdict\n";
  for (std::size_t i = 0; i < rolled.result.plays.size(); ++i) {
    const RolledPlay& play = rolled.result.plays[i];
    text += play_head(i, play_name(rolled, i), width) + equity_and_cost(play, i == 0) + "  " +
            (play.at_least ? padded("", 6) : percent(play.best_probability)) + "  " +
            verdict_cell(rolled, i, style) + "\n";
  }
  return text;
}

/// What the runner-up costs, or by how much it is behind at least, as a sentence.
std::string runner_up_words(const RolledDecision& rolled) {
  const auto second = runner_up(rolled);
  return second ? "\n" + wrapped(verdict_words(rolled, *second)) : std::string();
}

std::string outcome_rows(const RolledDecision& rolled, std::size_t width) {
  const bool is_match = rolled.decision.score.match.has_value();
  const std::string cubeless(has_cube(rolled) ? kCubelessHead : "");
  std::string text = outcome_heading(padded("    play", kRankWidth + width), kOutcomeWidth,
                                     cubeless + (is_match ? "   match" : ""));
  for (const std::size_t rank : told_ranks(rolled)) {
    const RolledPlay& play = rolled.result.plays[rank];
    std::string errors = padded("", kRankWidth + width);
    for (const Estimate& outcome : play.outcomes) errors += share_error(outcome);
    text += play_head(rank, play_name(rolled, rank), width) + outcome_cells(means_of(play));
    if (has_cube(rolled)) {
      const Estimate& equity = cubeless_equity(play);
      text += "  " + signed_number(equity.mean, kEquityDecimals);
      errors += padded(" " + error_text(equity.half_width, kEquityDecimals), kCubelessHead.size());
    }
    if (const auto chance = match_chance(rolled.decision, play.equity)) {
      text += format(" {:6.2f}%", 100.0 * chance->mean);
      errors += share_error(*chance);
    }
    text += "\n" + errors + "\n";
  }
  return text;
}

/// How the games of the best plays end.
std::string bars_of_best(const RolledDecision& rolled) {
  constexpr std::size_t kMostBars = 4;
  std::vector<BarRow> rows;
  for (const std::size_t rank : told_ranks(rolled)) {
    if (rows.size() == kMostBars) break;
    rows.push_back({rank, play_name(rolled, rank), means_of(rolled.result.plays[rank])});
  }
  return outcome_bars(rows);
}

std::string ledger_of_runner_up(const RolledDecision& rolled) {
  const std::vector<std::size_t> ranks = compared(rolled);
  if (ranks.size() < 2) return "";
  const std::string rolls = rolls_text(rolled, ranks[1]);
  return ledger_text(ledger_of(rolled.result.plays[ranks[1]], rolled.worth), play_name(rolled, 0),
                     play_name(rolled, ranks[1])) +
         "\n" + rolls + (rolls.empty() ? "" : "\n");
}

/// How the games of the best play and the runner-up end with the cube.
std::string cube_tables(const RolledDecision& rolled) {
  const std::vector<RolledPlay>& plays = rolled.result.plays;
  if (!has_cube(rolled)) return "";
  std::vector<std::pair<std::string, const RolledCube*>> columns;
  std::string text;
  for (const std::size_t rank : compared(rolled)) {
    const std::string name = play_name(rolled, rank);
    const RolledCube& cube = *plays[rank].cube;
    columns.emplace_back(name, &cube);
    text += wrapped(name + ": " + cube_use_text(cube) + ".");
  }
  return text + "\nShares of all games by points, for each unit of the present cube:\n" +
         points_text(columns) + "\n";
}

/// "600", or "72 to 288".
std::string trials_text(std::uint64_t least, std::uint64_t most) {
  return least == most ? format("{}", most) : format("{} to {}", least, most);
}

/// How many trials were played, and what became of plays that were set aside.
std::string trials_note(const RolledDecision& rolled, const Telling& telling) {
  struct Range {
    std::uint64_t least = UINT64_MAX;
    std::uint64_t most = 0;
    void add(std::uint64_t trials) {
      least = std::min(least, trials);
      most = std::max(most, trials);
    }
  };
  Range told;
  Range aside;
  for (const RolledPlay& play : rolled.result.plays)
    (play.at_least ? aside : told).add(play.trials);
  std::string text = trials_text(told.least, told.most) + " " +
                     settings_line(rolled.settings, telling.made_by) + ". ";
  if (told.least != told.most) text += std::string(kPairedNote) + " ";
  if (aside.most > 0) {
    text += "Plays clearly behind were set aside: of each the least that it costs is told, from " +
            trials_text(aside.least, aside.most) +
            format(" trials of its own, at {:g}% confidence. ", 100.0 * rolled.settings.confidence);
  }
  return text;
}

/// Whether a share is told only by how rare it is.
bool any_unseen(const RolledDecision& rolled) {
  for (const std::size_t rank : told_ranks(rolled)) {
    for (const Estimate& outcome : rolled.result.plays[rank].outcomes) {
      if (is_unseen(outcome)) return true;
    }
  }
  return false;
}

std::string foot(const RolledDecision& rolled, const Telling& telling) {
  std::string text = trials_note(rolled, telling) + interval_note(rolled.settings.confidence) +
                     (any_unseen(rolled) ? " <: so rare that it can't be told from never. " : " ") +
                     kOutcomeNote + " best: the chance that the play is the best of the list.";
  if (rolled.decision.score.match) {
    text +=
        " match: the chance to win the match. Equity: losing a single game is -1, winning one +1.";
  }
  if (has_cube(rolled)) {
    text += " cubeless: equity of the outcomes, the cube at its present value. " +
            std::string(kCubeNote);
  }
  if (rolled.result.interrupted) text += " Stopped early: what is known so far.";
  return text + format(" {:.1f} seconds.", telling.seconds);
}

}  // namespace

std::string rollout_text(const RolledDecision& rolled, const Telling& telling, TextStyle style) {
  if (rolled.result.plays.empty()) return "Stopped before every play had its first trials.\n";
  const std::size_t beside = std::max(
      kVerdictColumns, kOutcomeWidth * (kOutcomeCount + (rolled.decision.score.match ? 1u : 0u)) +
                           (has_cube(rolled) ? kCubelessHead.size() : 0u));
  const std::size_t width = play_width(rolled.decision, rolled.result.plays, beside);
  return heading(rolled.decision, style) + against(telling.made_by) + "\n" +
         verdict_rows(rolled, width, style) + runner_up_words(rolled) + "\n" +
         outcome_rows(rolled, width) + "\n" + bars_of_best(rolled) + "\n" + cube_tables(rolled) +
         ledger_of_runner_up(rolled) + wrapped(foot(rolled, telling));
}

}  // namespace sixfold
