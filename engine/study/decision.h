/// A decision and what was found out about it: the material of every report.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "equity/cube.h"
#include "equity/score.h"
#include "evaluator/evaluator.h"
#include "rollout/rollout.h"
#include "rules/outcome_distribution.h"
#include "rules/position.h"
#include "study/bear_off.h"
#include "study/verdict.h"

namespace sixfold {

/// A position at a score, with a roll to be played or before the dice.
struct Decision {
  std::string id = "null";  ///< The caller's name for it, as JSON.
  Position position;
  std::optional<Roll> roll;
  Score score;
  Cube cube{};  ///< For doubling decisions.
};

struct EvaluatedPlay {
  PlayKey play;
  OutcomeDistribution outcomes;  ///< From the viewpoint of the player who makes the play.
  double equity = 0.0;
  double cost = 0.0;
  Method method = Method::kNetwork;
};

/// "network", "race table" or "exact".
[[nodiscard]] const char* method_name(Method method);

/// Static values of a decision.
struct Evaluation {
  Decision decision;
  std::string net;
  std::vector<EvaluatedPlay> plays;  ///< Best first; empty before the dice.
  OutcomeDistribution outcomes;      ///< Before the dice, for the side on roll.
  double equity = 0.0;
  Method method = Method::kNetwork;
  std::optional<BearOffFacts> bear_off;  ///< Before the dice.
};

/// The evaluator for a decision: solved games belong to a number of checkers and a score.
using EvaluatorFor = std::function<const Evaluator&(const Decision&)>;

/// `tables` are those that bear-off facts are looked up in. Throws InputError when a roll is to be
/// played in a finished game.
[[nodiscard]] Evaluation evaluate_decision(const Evaluator& evaluator, const std::string& net,
                                           const Decision& decision,
                                           const ExactTables& tables = {});

/// A rolled-out decision.
struct RolledDecision {
  Decision decision;
  std::string net;
  RolloutSettings settings;
  VerdictThresholds thresholds;
  RolloutResult result;
  double seconds = 0.0;  ///< Measured by the caller.
  bool ledgers = false;  ///< JSON has the ledger of every play but the best.
};

/// Rolls out every legal play; leaves `seconds` at 0. Throws InputError without a roll or when the
/// game is over.
[[nodiscard]] RolledDecision roll_out_decision(const Evaluator& evaluator, const std::string& net,
                                               const Decision& decision,
                                               const RolloutSettings& settings,
                                               const VerdictThresholds& thresholds);

}  // namespace sixfold
