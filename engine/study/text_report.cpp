#include "study/text_report.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <span>

#include "rules/format.h"
#include "rules/notation.h"
#include "study/facts.h"
#include "study/ledger.h"
#include "study/points_report.h"
#include "study/text_layout.h"

namespace sixfold {
namespace {

/// "0.0123 +- 0.0045", the sign of the mean shown where wanted.
std::string with_interval(const Estimate& estimate, bool sign) {
  return format(sign ? "%+.4f ± %.4f" : "%.4f ± %.4f", estimate.mean, estimate.half_width);
}

constexpr std::size_t kPlayWidth = 20;

template <typename Plays>
std::size_t play_width(const Decision& decision, const Plays& plays) {
  std::size_t width = kPlayWidth;
  for (const auto& play : plays) {
    width = std::max(width, play_text(decision.position, *decision.roll, play.play).size());
  }
  return width;
}

/// Where static values come from, for plays in the order of their ranks.
std::string method_note(std::span<const Method> methods, const std::string& net) {
  std::string text;
  for (const Method method : {Method::kExact, Method::kRaceTable, Method::kNetwork}) {
    std::string ranks;
    for (std::size_t i = 0; i < methods.size(); ++i) {
      if (methods[i] != method) continue;
      ranks += (ranks.empty() ? "" : ", ") + std::to_string(i + 1);
    }
    if (ranks.empty()) continue;
    const bool all = std::all_of(methods.begin(), methods.end(),
                                 [&](const Method other) { return other == method; });
    text += text.empty() ? "" : " ";
    text += method == Method::kExact ? "Exact values under best play"
            : method == Method::kRaceTable
                ? "Values from two one-sided bear-off tables (race table)"
                : "Static values by net " + net;
    text += all ? "." : ": " + ranks + ".";
  }
  return text;
}

std::string bear_off_rows(const Evaluation& evaluation) {
  std::string text = "            pips  rolls to bear off  effective pips  wastage\n";
  const BearOffFacts& facts = *evaluation.bear_off;
  for (const auto& [name, side] :
       {std::pair("roller", facts.roller), std::pair("opponent", facts.opponent)}) {
    text += padded(name, 12) + format("%4d", side.pips) +
            format("    %.3f sd %.3f", side.mean_rolls, side.standard_deviation) +
            format("  %14.2f", side.effective_pip_count()) + format("  %7.2f\n", side.wastage());
  }
  if (!facts.cube || evaluation.decision.score.match) return text;
  const auto row = [&](const char* name, CubeOwner owner) {
    const CubeDecision found = exact_decision(*facts.cube, owner);
    return padded(name, 12) +
           format("%+.4f   %+.4f   +1.0000  ", found.no_double, *found.double_take) +
           std::string(action_text(found.action)) + "\n";
  };
  return text + "\ncube        no double double/take double/pass (equity per unit of the cube)\n" +
         row("centred", CubeOwner::kCentred) + row("roller's", CubeOwner::kRoller) +
         padded("opponent's", 12) + format("%+.4f\n", facts.cube->opponents);
}

std::string equity_text(const Score& score, double equity) {
  std::string text = format("%+.4f", equity);
  if (const auto chance = match_winning_chance(score, equity)) {
    text += format(" (match-winning chance %.2f%%)", 100.0 * *chance);
  }
  return text;
}

constexpr const char* kOutcomeHeading = " lose bg  lose g    lose     win   win g  win bg\n";

/// Six columns of eight, under kOutcomeHeading.
std::string outcome_cells(const OutcomeDistribution& outcomes) {
  std::string text;
  for (const double probability : outcomes.probability) {
    text += format(" %6.2f%%", 100.0 * probability);
  }
  return text;
}

std::string settings_line(const RolledDecision& rolled) {
  return settings_text(rolled.settings) + ", net " + rolled.net;
}

std::string interval_note(double confidence) {
  return format("± is the half-width of the %g%% interval.", 100.0 * confidence);
}

double share_of(const RolledPlay& play, std::initializer_list<std::size_t> outcomes) {
  double share = 0.0;
  for (const std::size_t o : outcomes) share += play.outcomes[o].mean;
  return share;
}

/// Why a cost may differ from the difference of two equities.
constexpr const char* kPairedNote =
    "Costs come from trials on the same dice: of plays with different numbers of trials they are "
    "not "
    "just the difference of the equities.";

constexpr const char* kCubeNote =
    "Equity and cost are those with the cube, for each unit of its present value; players double "
    "by the cube model, at most to 64 times that. Shares of outcomes are of games played to the "
    "end.";

std::string verdict_rows(const RolledDecision& rolled, std::size_t width) {
  std::string text =
      "    " + padded("play", width) + "       equity ±             cost ±        best  verdict\n";
  for (std::size_t i = 0; i < rolled.result.plays.size(); ++i) {
    const RolledPlay& play = rolled.result.plays[i];
    const std::string name = play_text(rolled.decision.position, *rolled.decision.roll, play.play);
    text += format("%2d  ", static_cast<int>(i + 1)) + padded(name, width) + "  " +
            with_interval(play.equity, true) + "  ";
    text += i == 0 ? std::string(15, ' ') : with_interval(play.cost, false);
    text += "  " + percent(play.best_probability) + "  " +
            std::string(verdict_name(verdict_of(i == 0, play.cost, rolled.thresholds))) + "\n";
  }
  return text;
}

std::string outcome_rows(const RolledDecision& rolled, std::size_t width) {
  std::string text = "    " + padded("play", width) + kOutcomeHeading;
  for (std::size_t i = 0; i < rolled.result.plays.size(); ++i) {
    const RolledPlay& play = rolled.result.plays[i];
    const std::string name = play_text(rolled.decision.position, *rolled.decision.roll, play.play);
    OutcomeDistribution means;
    std::string errors = "    " + padded("", width);
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      means[o] = play.outcomes[o].mean;
      errors += format("  ±%5.2f", 100.0 * play.outcomes[o].half_width);
    }
    text += format("%2d  ", static_cast<int>(i + 1)) + padded(name, width) + outcome_cells(means) +
            "\n" + errors + "\n";
  }
  return text;
}

constexpr std::size_t kLabelWidth = 12;

/// One line of the grid: a play with its wins and gammons.
std::string grid_row(const std::string& label, const RolledDecision& cell, std::size_t i,
                     std::size_t width) {
  const RolledPlay& play = cell.result.plays[i];
  const std::string name = play_text(cell.decision.position, *cell.decision.roll, play.play);
  // A long label gets a line of its own.
  const bool fits = label.size() < kLabelWidth;
  std::string text = (fits ? padded(label, kLabelWidth) : label + "\n" + padded("", kLabelWidth)) +
                     padded(name, width) + percent(share_of(play, {3, 4, 5})) +
                     percent(share_of(play, {4, 5})) + " " + percent(share_of(play, {0, 1})) +
                     format(" %+.3f", play.equity.mean);
  if (i == 0) return text + "\n";
  return text + format(" %.3f ± %.3f ", play.cost.mean, play.cost.half_width) +
         std::string(verdict_name(verdict_of(false, play.cost, cell.thresholds))) + "\n";
}

std::string best_name(const RolledDecision& cell) {
  return play_text(cell.decision.position, *cell.decision.roll, cell.result.plays.front().play);
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
    same = same && best_name(*cell) == best_name(*cells.front());
    append(by_score, "; ", cell->decision.score.name + " " + best_name(*cell));
    const auto& plays = cell->result.plays;
    if (plays.size() > 1 && plays[1].cost.mean <= plays[1].cost.half_width) {
      append(open, ", ", cell->decision.score.name);
    }
  }
  const std::string text = same ? best_name(*cells.front()) + " comes out best at every score"
                                : "Different plays come out best: " + by_score;
  return text + (open.empty()
                     ? "."
                     : ". Not settled, the runner-up being within the error: " + open + ".");
}

std::string ledger_of_runner_up(const RolledDecision& rolled) {
  const std::vector<RolledPlay>& plays = rolled.result.plays;
  if (plays.size() < 2) return "";
  const auto name = [&](const RolledPlay& play) {
    return play_text(rolled.decision.position, *rolled.decision.roll, play.play);
  };
  return ledger_text(ledger_of(plays[1], rolled.worth), name(plays[0]), name(plays[1])) + "\n";
}

/// How the games of the best play and the runner-up end with the cube.
std::string cube_tables(const RolledDecision& rolled) {
  const std::vector<RolledPlay>& plays = rolled.result.plays;
  if (!plays.front().cube) return "";
  std::vector<std::pair<std::string, const RolledCube*>> columns;
  std::string text;
  for (std::size_t i = 0; i < std::min<std::size_t>(2, plays.size()); ++i) {
    const std::string name =
        play_text(rolled.decision.position, *rolled.decision.roll, plays[i].play);
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

std::string evaluation_text(const Evaluation& evaluation) {
  const Decision& decision = evaluation.decision;
  std::string text = heading(decision);
  if (!decision.roll) {
    text += "Equity    " + equity_text(decision.score, evaluation.equity) + ", before the dice\n\n";
    text += std::string(kOutcomeHeading) + outcome_cells(evaluation.outcomes) + "\n\n";
    if (evaluation.bear_off) text += bear_off_rows(evaluation) + "\n";
    if (evaluation.tells_facts) text += facts_text(decision.position, {}) + "\n";
    return text + wrapped(method_note({&evaluation.method, 1}, evaluation.net));
  }
  const std::size_t width = play_width(decision, evaluation.plays);
  text += "\n    " + padded("play", width) +
          " equity   cost   l bg    l g   lose    win    w g   w bg\n";
  for (std::size_t i = 0; i < evaluation.plays.size(); ++i) {
    const EvaluatedPlay& play = evaluation.plays[i];
    text += format("%2d  ", static_cast<int>(i + 1)) +
            padded(play_text(decision.position, *decision.roll, play.play), width) +
            format("%+.4f", play.equity) + format(" %.4f", play.cost);
    for (const double probability : play.outcomes.probability) text += " " + percent(probability);
    text += "\n";
  }
  std::vector<Method> methods;
  for (const EvaluatedPlay& play : evaluation.plays) methods.push_back(play.method);
  if (evaluation.tells_facts) {
    constexpr std::size_t kMostPlays = 3;
    std::vector<PlayKey> plays;
    for (const EvaluatedPlay& play : evaluation.plays) {
      if (plays.size() < kMostPlays) plays.push_back(play.play);
    }
    text += "\n" + facts_text(decision.position, plays) + "\n";
    for (const Term& term : glossary()) text += padded(term.name, 17) + term.meaning + "\n";
    text += wrapped(
        "A star marks what is not as before the play; of two counts of rolls the first is for any, "
        "the second for two or all.");
  }
  return text + "\n" +
         wrapped(
             "l bg, l g, lose: backgammons, gammons and single games lost; win, w g, w bg: won. " +
             method_note(methods, evaluation.net));
}

std::string rollout_text(const RolledDecision& rolled) {
  if (rolled.result.plays.empty()) return "Stopped before every play had its first trials.\n";
  const std::size_t width = play_width(rolled.decision, rolled.result.plays);
  const std::string table = heading(rolled.decision) + "\n" + verdict_rows(rolled, width) + "\n" +
                            outcome_rows(rolled, width) + "\n";
  const auto [least, most] = std::minmax_element(
      rolled.result.plays.begin(), rolled.result.plays.end(),
      [](const RolledPlay& a, const RolledPlay& b) { return a.trials < b.trials; });
  std::string text = format("%llu", static_cast<unsigned long long>(least->trials));
  if (least->trials != most->trials) {
    text += format(" to %llu", static_cast<unsigned long long>(most->trials));
  }
  text +=
      " " + settings_line(rolled) + ". " + interval_note(rolled.settings.confidence) +
      " Percentages are of all games; bg backgammon, g gammon, the rest single games. best: the "
      "chance that the play is the best of the list. " +
      format("%.1f seconds.", rolled.seconds);
  if (least->trials != most->trials) text += std::string(" ") + kPairedNote;
  if (rolled.result.interrupted) text += " Stopped early: what is known so far.";
  if (rolled.result.plays.front().cube) text += std::string(" ") + kCubeNote;
  return table + cube_tables(rolled) + ledger_of_runner_up(rolled) + wrapped(text);
}

std::string solved_text(const SolvedSummary& summary) {
  constexpr OutcomeWorth kMoney{-3, -2, -1, 1, 2, 3};
  std::string text =
      format("Game of %d a side: ", summary.checkers) +
      format("%zu positions, cubeless money play, ", summary.positions) +
      format(summary.loaded ? "loaded in %.1f s\n" : "solved in %.1f s\n", summary.seconds) +
      "Start     " + position_text(summary.start) + "\n\n" + padded("", 16) + "   equity" +
      kOutcomeHeading;
  for (const auto& [name, outcomes] : {std::pair("on roll", summary.before_roll),
                                       std::pair("opening winner", summary.opening_winner)}) {
    text += padded(name, 16) + format("%+.6f", worth_of(outcomes, kMoney)) +
            outcome_cells(outcomes) + "\n";
  }
  text += "\n" + wrapped(
                     "opening winner: the player whose die was the higher; the opening roll is "
                     "not doubles.");
  if (!summary.file.empty()) text += "Stored in " + summary.file + "\n";
  return text;
}

std::string lesson_text(const Lesson& lesson) {
  std::string text;
  if (!lesson.plan.title.empty()) text += lesson.plan.title + "\n";
  if (!lesson.plan.notes.empty()) text += wrapped(lesson.plan.notes);
  text += "Position  " + position_text(lesson.plan.position) + "\n";
  text += cube_line(lesson.plan.cube, lesson.plan.money);
  std::size_t width = 15;
  for (const RolledDecision& cell : lesson.cells) {
    for (std::size_t i = 0; i < std::min<std::size_t>(2, cell.result.plays.size()); ++i) {
      const auto name =
          play_text(cell.decision.position, *cell.decision.roll, cell.result.plays[i].play);
      width = std::max(width, name.size() + 1);
    }
  }
  for (const Roll roll : lesson.plan.rolls) {
    std::vector<const RolledDecision*> cells;
    for (const RolledDecision& cell : lesson.cells) {
      if (*cell.decision.roll == roll) cells.push_back(&cell);
    }
    if (cells.empty()) continue;
    text += "\n" + padded("Roll " + roll_text(roll), kLabelWidth + width) +
            "  wins  won g lost g equity  cost ± half-width\n";
    for (const RolledDecision* cell : cells) {
      text += grid_row(cell->decision.score.name, *cell, 0, width);
      if (cell->result.plays.size() > 1) text += grid_row("", *cell, 1, width);
    }
    if (cells.size() > 1) text += wrapped(roll_summary(cells));
    text += "\n" + ledger_rows(cells);
    for (const FlipStudy& flip : lesson.flips) {
      if (flip.roll == roll) {
        text += "\nRoll " + roll_text(roll) + ": the best play by what gammons are worth\n" +
                flip_tables(flip) + flip_note(flip);
      }
    }
  }
  if (lesson.cells.empty()) return text + "\nStopped before the first roll was done.\n";
  const bool any_cube = std::any_of(
      lesson.cells.begin(), lesson.cells.end(),
      [](const RolledDecision& cell) { return cell.result.plays.front().cube.has_value(); });
  std::string foot =
      "For each score the best play and, below it, the runner-up with its cost and verdict. won g, "
      "lost g: gammons and backgammons, as a share of all games. Equity is in points at money; at "
      "a "
      "match score losing a single game counts -1 and winning one +1. " +
      (any_cube ? kCubeNote + std::string(" ") : std::string()) +
      interval_note(lesson.plan.settings.confidence) + " " + kPairedNote + " " +
      format("%llu or more ",
             static_cast<unsigned long long>(whole_blocks(lesson.plan.settings.trials))) +
      settings_line(lesson.cells.front()) + ".";
  const bool complete =
      lesson.cells.size() == lesson.plan.rolls.size() * lesson.plan.scores.size() &&
      !lesson.cells.back().result.interrupted;
  if (!complete) foot += " Stopped early: what is known so far.";
  return text + "\n" + wrapped(foot);
}

}  // namespace sixfold
