/// A doubling decision and what was found out about it.
#pragma once

#include <optional>

#include "equity/cube.h"
#include "study/decision.h"

namespace sixfold {

struct CubeStudy {
  Decision decision;             ///< With a cube; its roll does not matter.
  OutcomeDistribution outcomes;  ///< Cubeless, before the dice, for the side on roll.
  CubeDecision equities;
  bool is_exact = false;  ///< From the two-sided table; otherwise by the model.
  /// The share of the 36 x 36 sequences of a roll and a reply, both best played, after which the
  /// opponent would pass. Nothing where the roller may not double.
  std::optional<double> market_losers;
  std::optional<RolledDouble> rolled;  ///< Its equities are then in `equities`.
  RolloutSettings settings;            ///< Of that.
};

/// By how much one answer is ahead of the other, in equity for each unit of the present cube.
struct CubeMargins {
  Estimate doubling;  ///< Of waiting: below zero it is right to double.
  Estimate taking;    ///< Of the roller's equity after a take: below zero it is right to take.
};
/// Nothing where the roller may not double. REQUIRES: the study has been rolled out.
[[nodiscard]] std::optional<CubeMargins> margins_of(const CubeStudy& study) noexcept;

/// Whether a rollout leaves it open which action is right, the error of the means being what it is.
struct OpenQuestions {
  bool doubling = false;
  bool taking = false;
};
/// REQUIRES: the study has been rolled out.
[[nodiscard]] OpenQuestions open_questions(const CubeStudy& study) noexcept;

/// By the model, or exactly. Throws InputError when the game is over, for money rules at a match
/// score, and for a cube that the score does not allow. REQUIRES: the decision has a cube.
[[nodiscard]] CubeStudy study_cube(const Evaluator& evaluator, const Decision& decision,
                                   const ExactTables& tables);

/// The same without the market losers, which take as long as 441 rolls.
[[nodiscard]] CubeStudy static_cube(const Evaluator& evaluator, const Decision& decision,
                                    const ExactTables& tables);

/// Puts what was rolled out in the place of the model's equities. REQUIRES: the study is not exact.
void put_rolled(CubeStudy& study, const RolloutSettings& settings, const RolledDouble& rolled);

/// As study_cube(), and where it is not exact anyway: by a rollout. Nothing when stopped too early.
[[nodiscard]] std::optional<CubeStudy> roll_out_cube(const Instruments& instruments,
                                                     const Decision& decision,
                                                     const RolloutSettings& settings);

}  // namespace sixfold
