/// A doubling decision and what was found out about it.
#pragma once

#include <optional>
#include <string>

#include "equity/cube.h"
#include "study/decision.h"

namespace sixfold {

/// Options of money play.
struct MoneyRules {
  bool jacoby = false;   ///< Gammons count once the cube has been turned.
  bool beavers = false;  ///< Whoever is doubled may redouble at once and keep the cube.
};

struct CubeStudy {
  Decision decision;  ///< Its roll does not matter.
  MoneyRules rules;
  std::string net;
  OutcomeDistribution outcomes;  ///< Cubeless, before the dice, for the side on roll.
  CubeDecision equities;
  bool is_exact = false;  ///< From the two-sided table; otherwise by the model.
  /// The share of the 36 x 36 sequences of a roll and a reply, both best played, after which the
  /// opponent would pass. Nothing where the roller may not double.
  std::optional<double> market_losers;
};

/// Throws InputError when the game is over, for money rules at a match score, and for a cube that
/// the score does not allow.
[[nodiscard]] CubeStudy study_cube(const Evaluator& evaluator, const std::string& net,
                                   const Decision& decision, const MoneyRules& rules,
                                   const ExactTables& tables);

}  // namespace sixfold
