#include "study/text_report.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <span>

#include "base/format.h"
#include "rules/notation.h"
#include "study/facts.h"
#include "study/ledger.h"
#include "study/points_report.h"
#include "study/text_bars.h"
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

std::string verdict_rows(const RolledDecision& rolled, std::size_t width) {
  std::string text =
      "    " + padded("play", width) + "       equity ±             cost ±        best  verdict\n";
  for (std::size_t i = 0; i < rolled.result.plays.size(); ++i) {
    const RolledPlay& play = rolled.result.plays[i];
    const std::string name = play_name(rolled, i);
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
    const std::string name = play_name(rolled, i);
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
  return ledger_text(ledger_of(plays[1], rolled.worth), play_name(rolled, 0),
                     play_name(rolled, 1)) +
         "\n";
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

std::string evaluation_text(const Evaluation& evaluation) {
  const Decision& decision = evaluation.decision;
  std::string text = heading(decision);
  if (!decision.roll) {
    text +=
        "\nEquity    " + equity_text(decision.score, evaluation.equity) + ", before the dice\n\n";
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
                            outcome_rows(rolled, width) + "\n" + bars_of_best(rolled) + "\n";
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
  std::string text =
      format("Game of %d a side: ", summary.checkers) +
      format("%zu positions, cubeless money play, ", summary.positions) +
      format(summary.loaded ? "loaded in %.1f s\n" : "solved in %.1f s\n", summary.seconds) +
      "Start     " + position_text(summary.start) + "\n\n" + padded("", 16) + "   equity" +
      kOutcomeHeading;
  for (const auto& [name, outcomes] : {std::pair("on roll", summary.before_roll),
                                       std::pair("opening winner", summary.opening_winner)}) {
    text += padded(name, 16) + format("%+.6f", worth_of(outcomes, kMoneyWorth)) +
            outcome_cells(outcomes) + "\n";
  }
  text += "\n" + wrapped(
                     "opening winner: the player whose die was the higher; the opening roll is "
                     "not doubles.");
  if (!summary.file.empty()) text += "Stored in " + summary.file + "\n";
  return text;
}

}  // namespace sixfold
