#include "report/text/evaluation_text.h"

#include <algorithm>
#include <span>
#include <utility>
#include <vector>

#include "base/format.h"
#include "report/text/facts_text.h"
#include "report/text/layout.h"
#include "report/text/outcome_columns.h"
#include "report/words/cube_words.h"
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
    text += padded(name, 12) + format("{:4}", side.pips) +
            format("    {:.3f} sd {:.3f}", side.mean_rolls, side.standard_deviation) +
            format("  {:14.2f}", side.effective_pip_count()) +
            format("  {:7.2f}\n", side.wastage());
  }
  if (!facts.cube || evaluation.decision.score.match) return text;
  const auto row = [&](const char* name, CubeOwner owner) {
    const CubeDecision found = exact_decision(*facts.cube, owner);
    return padded(name, 12) +
           format("{:+.4f}  {:+16.4f}  {:+17.4f}  ", found.no_double, *found.double_take,
                  *found.double_pass) +
           action_words(found) + "\n";
  };
  return text + "\nWith the cube, in equity for each unit of it\n" + padded("cube", 12) +
         "   wait  double, he takes  double, he passes  right\n" +
         row("centred", CubeOwner::kCentred) + row("roller's", CubeOwner::kRoller) +
         padded("opponent's", 12) + format("{:+.4f}\n", facts.cube->opponents);
}

/// How equities with the cube were found, for plays in the order of their ranks; empty without one.
std::string cube_method_note(const Evaluation& evaluation) {
  if (!evaluation.is_cube_alive) return "";
  std::size_t exact = evaluation.is_exact ? 1 : 0;
  std::string ranks;
  for (std::size_t i = 0; i < evaluation.plays.size(); ++i) {
    if (!evaluation.plays[i].is_exact) continue;
    ++exact;
    ranks += (ranks.empty() ? "" : ", ") + std::to_string(i + 1);
  }
  const std::string unit = ", for each unit of its present value; cubeless: that of the outcomes.";
  if (exact == 0) return " equity: with the cube, by the cube model" + unit;
  if (exact == std::max<std::size_t>(evaluation.plays.size(), 1)) {
    return " equity: with the cube, exact" + unit;
  }
  return " equity: with the cube, exact of " + ranks + ", else by the cube model" + unit;
}

std::string before_the_roll(const Evaluation& evaluation, const Telling& telling) {
  std::string text =
      "\nEquity    " + signed_number(evaluation.equity, 4) +
      (evaluation.is_cube_alive ? ", before the dice and the double\nCubeless  " +
                                      signed_number(evaluation.cubeless_equity, 4) + "\n"
                                : ", before the dice\n");
  if (const auto chance = match_chance(evaluation.decision, evaluation.equity)) {
    text += format("Match     won in {:.2f}% of cases\n", 100.0 * *chance);
  }
  text += "\n" + outcome_heading("", kOutcomeWidth) + outcome_cells(evaluation.outcomes) + "\n\n";
  if (evaluation.bear_off) text += bear_off_rows(evaluation) + "\n";
  if (telling.with_facts) text += facts_text(evaluation.decision.position, {}) + "\n";
  return text + wrapped(kOutcomeNote + cube_method_note(evaluation) +
                        (" " + method_note({&evaluation.method, 1}, telling.made_by.net)));
}

std::string play_table(const Evaluation& evaluation) {
  constexpr std::size_t kOutcome = 7;
  const Decision& decision = evaluation.decision;
  const bool is_match = decision.score.match.has_value();
  const bool has_cube = evaluation.is_cube_alive;
  const std::size_t others =
      15 + (has_cube ? 8 : 0) + kOutcomeCount * kOutcome + (is_match ? 7 : 0);
  const std::size_t width = play_width(decision, evaluation.plays, others);
  std::string text = outcome_heading(
      padded("    play", kRankWidth + width) + "  equity  cost " + (has_cube ? "cubeless" : ""),
      kOutcome, is_match ? "  match" : "");
  for (std::size_t i = 0; i < evaluation.plays.size(); ++i) {
    const EvaluatedPlay& play = evaluation.plays[i];
    text += play_head(i, play_text(decision.position, *decision.roll, play.play), width) + " " +
            signed_number(play.equity, 4) + format(" {:.4f}", play.cost) +
            (has_cube ? " " + signed_number(play.cubeless_equity, 4) : std::string());
    for (const double probability : play.outcomes.probability) text += " " + percent(probability);
    if (is_match) text += " " + percent(*match_chance(decision, play.equity));
    text += "\n";
  }
  return text;
}

/// The facts of the best plays, and what their names mean.
std::string facts_of_best(const Evaluation& evaluation) {
  constexpr std::size_t kMostPlays = 3;
  std::vector<PlayKey> plays;
  for (const EvaluatedPlay& play : evaluation.plays) {
    if (plays.size() < kMostPlays) plays.push_back(play.play);
  }
  std::string text = "\n" + facts_text(evaluation.decision.position, plays) + "\n";
  for (const FactRow& row : fact_rows(evaluation.decision.position, plays)) {
    text += padded(row.term.name, 17) + row.term.meaning + "\n";
  }
  return text + wrapped(
                    "A star marks what is not as before the play; what is alike everywhere is left "
                    "out. Of two counts of rolls the first is for any, the second for two or all.");
}

}  // namespace

std::string evaluation_text(const Evaluation& evaluation, const Telling& telling, TextStyle style) {
  const Decision& decision = evaluation.decision;
  const std::string text = heading(decision, style);
  if (!decision.roll) return text + before_the_roll(evaluation, telling);
  std::vector<Method> methods;
  for (const EvaluatedPlay& play : evaluation.plays) methods.push_back(play.method);
  return text + "\n" + play_table(evaluation) +
         (telling.with_facts ? facts_of_best(evaluation) : std::string()) + "\n" +
         wrapped(kOutcomeNote + cube_method_note(evaluation) +
                 (decision.score.match ? " match: the chance to win the match. " : " ") +
                 method_note(methods, telling.made_by.net));
}

}  // namespace sixfold
