/// Evaluators, plans and studies that tests of study and of report share.
#pragma once

#include <string>
#include <vector>

#include "evaluator/network_file.h"
#include "exact/bear_off_tables.h"
#include "rules/notation.h"
#include "study/cube_study.h"
#include "study/instruments_of.h"
#include "study/lesson.h"

namespace sixfold {

/// The standard net alone.
inline const NetworkEvaluator& standard() {
  static const NetworkEvaluator kEvaluator(
      load_network(SIXFOLD_NETS "/standard.safetensors").networks);
  return kEvaluator;
}
/// The same with the bear-off tables.
inline const NetworkEvaluator& standard_with_tables() {
  static const NetworkEvaluator kEvaluator(
      load_network(SIXFOLD_NETS "/standard.safetensors").networks, best_instruction_set(),
      bear_off_tables());
  return kEvaluator;
}

inline Estimate cost(double mean, double half_width) {
  Estimate estimate;
  estimate.mean = mean;
  estimate.half_width = half_width;
  return estimate;
}

/// Two scores without the cube, few trials, cut soon.
inline LessonPlan few_trials() {
  LessonPlan plan;
  plan.scores = {money_score(), parse_score("gammon-go", own_match_equities())};
  plan.cube = AskedCube(std::nullopt);
  plan.settings.trials = 36;
  plan.settings.truncate = 2;
  return plan;
}

/// A doubling decision by the standard net and the tables.
inline CubeStudy cube_study(const std::string& position, const std::string& cube = "centred",
                            const std::string& score = "money", const MoneyRules& rules = {}) {
  Decision decision;
  decision.position = parse_position(position);
  decision.score = parse_score(score, own_match_equities());
  decision.cube = parse_cube(cube);
  decision.money = rules;
  return study_cube(standard_with_tables(), decision, bear_off_tables());
}

/// Five points: nobody is ahead or behind but by how far it is, b / (a + b).
inline MatchEquityTable five_points() {
  std::vector<double> chances;
  for (int away = 1; away <= 5; ++away) {
    for (int other = 1; other <= 5; ++other) {
      chances.push_back(static_cast<double>(other) / (away + other));
    }
  }
  return {chances, {0.5, 0.5, 0.25, 0.25, 0.125}};
}

}  // namespace sixfold
