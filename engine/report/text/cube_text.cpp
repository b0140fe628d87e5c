#include "report/text/cube_text.h"

#include <utility>
#include <vector>

#include "base/format.h"
#include "report/text/layout.h"
#include "report/text/outcome_columns.h"
#include "report/text/points_text.h"
#include "report/text/rolls_text.h"
#include "report/words/cube_words.h"
#include "report/words/notes.h"
#include "report/words/plain_words.h"

namespace sixfold {
namespace {

constexpr std::size_t kNameWidth = 20;
constexpr std::size_t kNumberWidth = 18;

/// The six outcomes and, where they are rolled out, how well they are known.
std::string outcome_rows(const CubeStudy& study) {
  std::string text = outcome_heading(padded("", kNameWidth), kOutcomeWidth) +
                     padded("all games", kNameWidth) + outcome_cells(study.outcomes) + "\n";
  if (!study.rolled) return text;
  text += padded("", kNameWidth);
  for (const Estimate& outcome : study.rolled->no_double.outcomes) text += share_error(outcome);
  return text + "\n";
}

/// "0.0123 ± 0.0045", "right", or "open" where neither side of the question is known to be right.
std::string cost_cell(double cost, const std::optional<double>& error, bool is_open) {
  if (cost <= 0.0) return is_open ? "open" : "right";
  return format("{:.{}f}", cost, kEquityDecimals) +
         (error ? " " + error_text(*error, kEquityDecimals) : std::string());
}

std::string action_row(const char* name, double equity, const Estimate* rolled,
                       const std::string& roller_errs, const std::string& opponent_errs) {
  std::string text =
      padded(name, kNameWidth) +
      padded(signed_number(equity, kEquityDecimals) +
                 (rolled == nullptr ? std::string()
                                    : " " + error_text(rolled->half_width, kEquityDecimals)),
             kNumberWidth) +
      padded(roller_errs, kNumberWidth + 3) + opponent_errs;
  while (text.back() == ' ') text.pop_back();
  return text + "\n";
}

/// Each way to go on with what it gives the roller, and what it costs the one whom it is an error
/// of: the roller's doubling stands where his double leads.
std::string actions_table(const CubeStudy& study) {
  const CubeDecision& found = study.equities;
  std::string text = padded("", kNameWidth) + padded(" equity", kNumberWidth);
  const Estimate* const waiting = study.rolled ? &study.rolled->no_double.equity : nullptr;
  if (!found.double_take) {
    return padded("", kNameWidth) + " equity\n" +
           action_row(wait_name(), found.no_double, waiting, "", "");
  }
  text += padded("the roller errs by", kNumberWidth + 3) + "the opponent errs by\n";
  const Estimate* const taken = study.rolled ? &study.rolled->double_take->equity : nullptr;
  const CubeCosts costs = costs_of(found);
  const CubeErrors errors = cube_errors(study);
  const OpenQuestions open = study.rolled ? open_questions(study) : OpenQuestions{};
  const bool is_taken = *found.double_take <= *found.double_pass;
  const std::string doubling = cost_cell(costs.doubling, errors.doubling, open.doubling);
  return text +
         action_row(wait_name(), found.no_double, waiting,
                    cost_cell(costs.no_double, errors.doubling, open.doubling), "") +
         action_row(take_name(found), *found.double_take, taken, is_taken ? doubling : "",
                    cost_cell(costs.take, errors.taking, open.taking)) +
         action_row(pass_name(), *found.double_pass, nullptr, is_taken ? "" : doubling,
                    cost_cell(costs.pass, errors.taking, open.taking));
}

/// How the games end with the cube.
std::string points_part(const CubeStudy& study) {
  const RolledDouble& rolled = *study.rolled;
  std::vector<std::pair<std::string, const RolledCube*>> columns{
      {wait_name(), &*rolled.no_double.cube}};
  if (rolled.double_take) {
    columns.emplace_back(take_name(study.equities), &*rolled.double_take->cube);
  }
  return "\nShares of all games by points, for each unit of the present cube:\n" +
         points_text(columns);
}

/// Where the window for a double lies, and what is assumed of it.
std::string market_text(const CubeStudy& study) {
  const CubeDecision& found = study.equities;
  std::string text;
  if (found.cash_point) {
    text += wrapped(format(
        "By the cube model, with gammons and backgammons as large a part of wins and losses "
        "as above, doubles are right from {:.1f}% wins and passed from {:.1f}%: the "
        "opponent's take point is {:.1f}% with the cube as live as the model has it, {:.1f}% "
        "if it were dead after the double.",
        100.0 * *found.double_point, 100.0 * *found.cash_point, 100.0 * found.take_point->live,
        100.0 * found.take_point->dead));
  }
  if (study.market_losers) {
    text += wrapped(
        format("Market losers: after {:.1f}% of the 1,296 sequences of a roll and a reply there is "
               "no take any more.",
               100.0 * *study.market_losers));
  }
  return text;
}

std::string foot(const CubeStudy& study, const Provenance& made_by) {
  std::string text = study.is_exact ? "Exact equities under best play and doubling"
                                    : "Equities by the cube model from static outcomes";
  if (study.rolled) {
    text = format("Equities from {} ", study.rolled->no_double.trials) +
           settings_text(study.settings) +
           format(
               ", ± the half-width of the {:g}% interval. Players double by the cube model, at "
               "most to 64 times the present cube. Equities are told",
               100.0 * study.settings.confidence);
    if (study.rolled->interrupted) text = "Stopped early: what is known so far. " + text;
  }
  text +=
      study.rolled ? " for each unit of the present cube" : ", for each unit of the present cube";
  if (study.decision.score.match) {
    text += ": -1 is losing and +1 winning a single game at its value";
  }
  return text + ". " + kOutcomeNote + " Computed by " + nets_words(made_by) + ".";
}

}  // namespace

std::string cube_study_text(const CubeStudy& study, const Provenance& made_by, TextStyle style) {
  const Provenance nets = study.rolled ? made_by : made_by.without_opponent();
  std::string text = heading(study.decision, style) + against(nets) + "\n" + outcome_rows(study) +
                     "\n" + actions_table(study) + "\n" + wrapped(double_words(study));
  if (!study.equities.double_take) {
    text += wrapped(
        "Left to decide is how his roll is played: roll out the plays of the roll with this cube.");
  }
  text += wrapped(match_words(study)) + market_text(study);
  if (study.rolled) {
    const std::string rolls = rolls_text(study);
    text += points_part(study) + (rolls.empty() ? "" : "\n" + rolls);
  }
  return text + "\n" + wrapped(foot(study, nets));
}

}  // namespace sixfold
