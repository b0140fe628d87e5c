#include "study/lesson.h"

#include <algorithm>

namespace sixfold {

const RollRemarks* remarks_on(const LessonPlan& plan, Roll roll) noexcept {
  const auto found = std::find_if(plan.remarks.begin(), plan.remarks.end(),
                                  [&](const RollRemarks& each) { return each.roll == roll; });
  return found == plan.remarks.end() ? nullptr : &*found;
}

std::vector<PlayKey> contested_plays(const Lesson& lesson, Roll roll) {
  constexpr std::size_t kMost = 6;
  std::vector<PlayKey> plays;
  // The best everywhere first, then the seconds, and so on, as far as there is room.
  for (std::size_t rank = 0; plays.size() < kMost; ++rank) {
    bool any = false;
    for (const RolledDecision& cell : lesson.cells) {
      const std::vector<RolledPlay>& rolled = cell.result.plays;
      if (*cell.decision.roll != roll || rank >= rolled.size()) continue;
      const Estimate& cost = rolled[rank].cost;
      if (rank > 1 && cost.mean - cost.half_width > lesson.plan.thresholds.error) continue;
      any = true;
      const bool is_new = std::find(plays.begin(), plays.end(), rolled[rank].play) == plays.end();
      if (is_new && plays.size() < kMost) plays.push_back(rolled[rank].play);
    }
    if (!any) break;
  }
  return plays;
}

Lesson make_lesson(const EvaluatorFor& evaluator_for, const std::string& net,
                   const LessonPlan& plan, const MatchEquityTable& table,
                   const std::function<void(std::size_t)>& part_started,
                   const std::function<double()>& seconds, const ExactTables& tables) {
  // Scores that the cube does not fit are refused before any work.
  const auto decision_at = [&](std::optional<Roll> roll, const Score& score) {
    Decision decision{"null", plan.position, roll, score, plan.cube};
    if (!score.match) decision.money = plan.money;
    return decision;
  };
  for (const Score& score : plan.scores) {
    static_cast<void>(cube_rules(decision_at({}, score), tables));
  }
  Lesson lesson{plan, net, {}, {}, {}};
  lesson.stopped = true;
  const auto lap = [&] {
    const double lapped = seconds();
    lesson.seconds += lapped;
    return lapped;
  };
  std::size_t started = 0;
  for (std::size_t i = 0; plan.doubling && i < plan.scores.size(); ++i) {
    part_started(started++);
    const Decision decision = decision_at({}, plan.scores[i]);
    std::optional<CubeStudy> study =
        roll_out_cube(evaluator_for(decision), net, decision, plan.settings, tables);
    lap();
    if (!study) return lesson;
    lesson.doubles.push_back(std::move(*study));
    if (lesson.doubles.back().rolled && lesson.doubles.back().rolled->interrupted) return lesson;
  }
  for (const Roll roll : plan.rolls) {
    for (const Score& score : plan.scores) {
      part_started(started++);
      const Decision decision = decision_at(roll, score);
      RolledDecision cell = roll_out_decision(evaluator_for(decision), net, decision, plan.settings,
                                              plan.thresholds, tables);
      cell.seconds = lap();
      if (cell.result.plays.empty()) return lesson;
      cell.ledgers = true;
      lesson.cells.push_back(std::move(cell));
      if (lesson.cells.back().result.interrupted) return lesson;
    }
    if (std::find(plan.flips.begin(), plan.flips.end(), roll) == plan.flips.end()) continue;
    const std::vector<PlayKey> plays = contested_plays(lesson, roll);
    if (plays.size() < 2) continue;
    RolloutSettings settings = plan.settings;
    settings.trials = plan.flip_trials;
    const Evaluator& evaluator = evaluator_for(decision_at(roll, plan.scores.front()));
    auto flip = study_flip(evaluator, net, plan.position, roll, settings, table, plays);
    const double lapped = lap();
    if (!flip) return lesson;
    flip->seconds = lapped;
    lesson.flips.push_back(std::move(*flip));
  }
  lesson.stopped = false;
  return lesson;
}

}  // namespace sixfold
