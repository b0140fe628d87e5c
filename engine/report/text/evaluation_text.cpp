#include "report/text/evaluation_text.h"

#include <algorithm>
#include <span>
#include <utility>
#include <vector>

#include "base/format.h"
#include "report/text/facts_text.h"
#include "report/text/layout.h"
#include "report/text/outcome_columns.h"
#include "report/words/fact_table.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

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

}  // namespace sixfold
