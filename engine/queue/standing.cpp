#include "queue/standing.h"

#include <algorithm>
#include <cmath>

#include "rules/notation.h"
#include "study/comparisons.h"

namespace sixfold {
namespace {

std::string name_of(const RolledDecision& rolled, const RolledPlay& play) {
  return play_text(rolled.decision.position, *rolled.decision.roll, play.play);
}

/// How many half-widths it is from zero.
double clearness(const Estimate& margin) {
  return std::abs(margin.mean) / std::max(margin.half_width, 1e-12);
}

}  // namespace

Standing standing_of(const RolloutState& state) {
  Standing standing;
  standing.rounds = state.rounds();
  standing.trials = state.trials_done();
  standing.trials_expected = state.trials_expected();
  standing.going_on = state.going_on();
  standing.trials_each = state.trials_each();
  standing.is_done = state.is_finished() || state.beyond() > 0;
  standing.beyond = state.beyond();
  standing.wanted = state.plan().settings.half_width;
  standing.half_width = state.widest();
  return standing;
}

std::optional<Closest> closest_of(const RolledDecision& rolled) {
  const std::vector<RolledPlay>& plays = rolled.result.plays;
  const std::optional<std::size_t> second = runner_up(rolled);
  if (!second) return std::nullopt;
  Closest closest{name_of(rolled, plays.front()), name_of(rolled, plays[*second]),
                  plays[*second].cost};
  for (std::size_t i = 1; i < plays.size(); ++i) {
    closest.is_open = closest.is_open || is_open(plays[i]);
  }
  return closest;
}

Closest closest_of(const CubeStudy& study) {
  const std::string action(action_text(study.equities.action));
  const auto margins = study.rolled ? margins_of(study) : std::nullopt;
  if (!margins) return Closest{action, "", {}};
  const OpenQuestions open = open_questions(study);
  const bool by_taking = clearness(margins->taking) < clearness(margins->doubling);
  Closest closest{action, by_taking ? "take or pass" : "double or not",
                  by_taking ? margins->taking : margins->doubling, open.doubling || open.taking};
  closest.cost.mean = std::abs(closest.cost.mean);
  return closest;
}

}  // namespace sixfold
