#include "report/text/cube_text.h"

#include <utility>
#include <vector>

#include "base/format.h"
#include "report/text/layout.h"
#include "report/text/points_text.h"
#include "report/text/rolls_text.h"
#include "report/words/notes.h"

namespace sixfold {
namespace {

std::string outcomes_lines(const OutcomeDistribution& o) {
  const auto line = [](const char* name, double all, double gammons, double backgammons) {
    return padded(name, 10) + percent(all) + "  gammons" + percent(gammons) + "  backgammons" +
           percent(backgammons) + "\n";
  };
  return line("Wins", o[3] + o[4] + o[5], o[4] + o[5], o[5]) +
         line("Losses", o[2] + o[1] + o[0], o[1] + o[0], o[0]);
}

std::string judged(double cost) {
  return cost > 0.0 ? format("wrong by {:.4f}", cost) : std::string("right");
}

std::string actions_table(const CubeStudy& study) {
  const CubeDecision& found = study.equities;
  const auto row = [](const char* action, double equity, const Estimate* rolled,
                      const std::string& note) {
    const std::string width = rolled == nullptr     ? ""
                              : rolled->blocks == 0 ? padded("", 11)
                                                    : format("± {:.4f}   ", rolled->half_width);
    return padded(action, 15) + format("{:+.4f}   ", equity) + width + note + "\n";
  };
  const Estimate* const waiting = study.rolled ? &study.rolled->no_double.equity : nullptr;
  if (!found.double_take) {
    return row("No double", found.no_double, waiting, "the roller may not double");
  }
  const Estimate* const taken = study.rolled ? &study.rolled->double_take->equity : nullptr;
  const CubeCosts costs = costs_of(found);
  const Estimate exact{};
  return row("No double", found.no_double, waiting, judged(costs.no_double)) +
         row(found.is_beavered ? "Double/beaver" : "Double/take", *found.double_take, taken,
             "doubling is " + judged(costs.doubling) + ", taking is " + judged(costs.take)) +
         row("Double/pass", *found.double_pass, study.rolled ? &exact : nullptr,
             "passing is " + judged(costs.pass));
}

/// How sure the actions are, and how the games end.
std::string rolled_text(const CubeStudy& study) {
  const RolledDouble& rolled = *study.rolled;
  std::vector<std::pair<std::string, const RolledCube*>> columns{
      {"no double", &*rolled.no_double.cube}};
  std::string text;
  if (rolled.double_take) {
    columns.emplace_back("double/take", &*rolled.double_take->cube);
    text = format("No double less double/take: {:+.4f} ± {:.4f}", rolled.difference.mean,
                  rolled.difference.half_width);
    const OpenQuestions open = open_questions(study);
    text += ".\n";
    if (open.doubling || open.taking) {
      text += std::string("Not settled, being within the error: ") +
              (open.doubling ? "whether to double" : "") +
              (open.doubling && open.taking ? ", " : "") + (open.taking ? "whether to take" : "") +
              ".\n";
    }
  }
  return text + "\nShares of all games by points, for each unit of the present cube:\n" +
         points_text(columns);
}

std::string market_text(const CubeStudy& study) {
  const CubeDecision& found = study.equities;
  std::string text;
  if (found.cash_point) {
    text +=
        wrapped(format("By the model doubles are right from {:.1f}% wins and passed from {:.1f}%: "
                       "the opponent's take point is {:.1f}%, or {:.1f}% with a dead cube.",
                       100.0 * *found.double_point, 100.0 * *found.cash_point,
                       100.0 * found.take_point->live, 100.0 * found.take_point->dead));
  }
  if (study.market_losers) {
    text +=
        wrapped(format("Market losers: after {:.1f}% of the 1,296 sequences of a roll and a "
                       "reply there is no take any more.",
                       100.0 * *study.market_losers));
  }
  return text;
}

}  // namespace

std::string cube_study_text(const CubeStudy& study, const Provenance& made_by, TextStyle style) {
  const CubeDecision& found = study.equities;
  std::string text = heading(study.decision, style) + "\n" + outcomes_lines(study.outcomes) + "\n" +
                     actions_table(study) + "\n";
  if (found.double_take) text += "Verdict: " + std::string(action_text(found.action)) + ".\n";
  text += market_text(study);
  if (study.rolled) {
    const std::string rolls = rolls_text(study);
    text += rolled_text(study) + (rolls.empty() ? "" : "\n" + rolls);
  }
  std::string foot = study.is_exact ? "Exact equities under best play and doubling"
                                    : "Equities by the cube model from static outcomes";
  if (study.rolled) {
    foot = format("Equities from {} ", study.rolled->no_double.trials) +
           settings_text(study.settings) +
           format(
               ", ± the half-width of the {:g}% interval. Players double by the cube model, at "
               "most to 64 times the present cube. Equities are told",
               100.0 * study.settings.confidence);
    if (study.rolled->interrupted) foot = "Stopped early: what is known so far. " + foot;
  }
  foot +=
      study.rolled ? " for each unit of the present cube" : ", for each unit of the present cube";
  if (study.decision.score.match) {
    foot += ": -1 is losing and +1 winning a single game at its value";
  }
  return text + "\n" + wrapped(foot + ". Net " + made_by.net + ".");
}

}  // namespace sixfold
