#include "report/words/findings.h"

#include "base/format.h"
#include "report/words/cube_words.h"
#include "report/words/names.h"
#include "report/words/phrases.h"
#include "report/words/plain_words.h"
#include "rules/notation.h"
#include "study/comparisons.h"

namespace sixfold {
namespace {

/// "costs 0.034 ± 0.008, a point in 29 games"
std::string cost_words(const RolledDecision& rolled, const RolledPlay& play) {
  if (play.at_least) {
    return "costs over " + bound_text(*play.at_least, 3) +
           cost_in_games(rolled.decision, *play.at_least, true);
  }
  return "costs " + interval_words(play.cost) + cost_in_games(rolled.decision, play.cost.mean);
}

std::string choice_words(const RolledDecision& rolled) {
  const std::string best = play_name(rolled, 0);
  const std::optional<std::size_t> second = closest_rival(rolled);
  if (!second) return best + " is the only legal play.";
  const std::string rival = play_name(rolled, *second);
  const RolledPlay& play = rolled.result.plays[*second];
  if (is_equal(play)) return best + " and " + rival + " are equally good.";
  if (!is_open(play)) return best + " is best; " + rival + " " + cost_words(rolled, play) + ".";
  const std::size_t more = open_ranks(rolled).size() - 1;
  return best + " comes out best; " + rival + ", " + interval_words(play.cost) +
         " behind, may be as good" + (more > 0 ? format(", and so may {} more.", more) : ".");
}

}  // namespace

Finding finding_of(const RolledDecision& rolled) {
  Finding finding{roll_text(*rolled.decision.roll) + " at " + rolled.decision.score.name,
                  choice_words(rolled)};
  finding.is_open = !open_ranks(rolled).empty();
  if (finding.is_open) finding.best_probability = rolled.result.plays.front().best_probability;
  return finding;
}

Finding finding_of(const CubeStudy& study) {
  return {"Double at " + study.decision.score.name, double_words(study),
          sureness_words(study) == std::string("open")};
}

std::vector<Finding> findings_of(const Lesson& lesson) {
  std::vector<Finding> findings;
  for (const CubeStudy& study : lesson.doubles) findings.push_back(finding_of(study));
  for (const RolledDecision& cell : lesson.cells) findings.push_back(finding_of(cell));
  return findings;
}

std::string sureness_legend(const std::vector<Finding>& findings) {
  std::string legend = "Settled: each other choice is worse by more than its interval.";
  bool any_open = false;
  bool any_chance = false;
  for (const Finding& finding : findings) {
    any_open = any_open || finding.is_open;
    any_chance = any_chance || finding.best_probability.has_value();
  }
  if (!any_open) return legend;
  legend += " Open: another may be as good";
  return legend +
         (any_chance ? "; the percentage is the chance that the play named is the best." : ".");
}

}  // namespace sixfold
