/// A decision and what was found out about it.
#pragma once

#include <functional>
#include <optional>
#include <string_view>
#include <vector>

#include "equity/cube_rules.h"
#include "equity/score.h"
#include "evaluator/evaluator.h"
#include "rollout/rollout.h"
#include "rules/outcome_distribution.h"
#include "rules/position.h"
#include "study/bear_off.h"
#include "study/verdict.h"

namespace sixfold {

/// What a question says of the cube: which it is, that it is left out, or nothing. Without a word
/// of it the cube is in the middle wherever somebody may double.
class AskedCube {
 public:
  AskedCube() = default;
  explicit AskedCube(const std::optional<Cube>& cube) noexcept : is_said_(true), cube_(cube) {}

  /// Nothing where it is left out.
  [[nodiscard]] std::optional<Cube> at(const Score& score) const noexcept;
  [[nodiscard]] bool is_left_out() const noexcept { return is_said_ && !cube_; }
  friend bool operator==(const AskedCube&, const AskedCube&) = default;

 private:
  bool is_said_ = false;
  std::optional<Cube> cube_{};
};
/// `none`, what parse_cube() reads, or an empty text: nothing is said. Throws InputError.
[[nodiscard]] AskedCube parse_asked_cube(std::string_view text);
/// Whether somebody may double with the cube in the middle.
[[nodiscard]] bool is_cube_alive(const Score& score) noexcept;

/// A position at a score, with a roll to be played or before the dice.
struct Decision {
  Position position;
  std::optional<Roll> roll;
  Score score;
  std::optional<Cube> cube{};  ///< Nothing where the cube is left out.
  MoneyRules money{};
};

/// Throws InputError where there is no roll or the game is over.
void require_play(const Decision& decision);

/// How the cube is played; nothing where it is left out. Throws InputError as roll_out_decision.
[[nodiscard]] std::optional<CubeRules> cube_rules(const Decision& decision,
                                                  const ExactTables& tables);

/// The roller's chance to win the match at an equity for each unit of the present cube; nothing at
/// money.
[[nodiscard]] std::optional<double> match_chance(const Decision& decision, double equity);
/// By how much it changes with a unit of equity.
[[nodiscard]] std::optional<double> match_slope(const Decision& decision);
/// The same chance with the errors of an estimated equity.
[[nodiscard]] std::optional<Estimate> match_chance(const Decision& decision,
                                                   const Estimate& equity);

struct EvaluatedPlay {
  PlayKey play;
  OutcomeDistribution outcomes;  ///< From the viewpoint of the player who makes the play.
  double equity = 0.0;           ///< With the cube, where there is one.
  double cubeless_equity = 0.0;  ///< Of the outcomes, the cube dead at its present value.
  double cost = 0.0;
  Method method = Method::kNetwork;  ///< Of the outcomes.
  bool is_exact = false;             ///< The equity too.
};

/// Static values of a decision.
struct Evaluation {
  Decision decision;
  std::vector<EvaluatedPlay> plays;  ///< Best first; empty before the dice.
  OutcomeDistribution outcomes;      ///< Before the dice, for the side on roll.
  double equity = 0.0;  ///< The same; with a cube what he gets who doubles or not, as is right.
  double cubeless_equity = 0.0;
  Method method = Method::kNetwork;
  bool is_exact = false;                 ///< As that of a play.
  bool is_cube_alive = false;            ///< There is a cube, and somebody may double.
  std::optional<BearOffFacts> bear_off;  ///< Before the dice.
};

/// What a study is worked out with: who plays the trials and who runs them, what is known exactly,
/// and the match equity table that scores are of. All of it must outlive the study.
struct Instruments {
  TrialPlayers players;
  const ExactTables& tables;
  const MatchEquityTable& match_table;
  TrialRunner& runner;
};

/// With a cube plays are ranked by what they are worth with it, by the cube model or exactly: one
/// that leaves the opponent to double or not. `tables` are those that bear-off facts are looked up
/// in. Throws InputError when a roll is to be played in a finished game, for money rules at a match
/// score or without a cube, and for a cube that the score does not allow.
[[nodiscard]] Evaluation evaluate_decision(const Evaluator& evaluator, const Decision& decision,
                                           const ExactTables& tables = {});

/// A rolled-out decision.
struct RolledDecision {
  Decision decision;
  RolloutSettings settings;
  GradeBounds grades;
  RolloutResult result;
  OutcomeWorth worth{};  ///< Of the outcomes, at the cube's present value.
};

/// Of a play's outcomes, the cube dead at its present value.
[[nodiscard]] const Estimate& cubeless_equity(const RolledPlay& play) noexcept;

/// Which plays of a roll are rolled out.
struct WantedPlays {
  std::vector<PlayKey> named;  ///< Never set aside.
  bool alone = false;          ///< Those and no others; else every legal play.
};

/// A decision and what is wanted of its rollout; one on doubling where it has no roll.
struct RolloutQuestion {
  Decision decision;
  RolloutSettings settings;
  GradeBounds grades{};
  WantedPlays wanted{};
};

/// Throws InputError without a roll or when the game is over, for money rules at a match score or
/// without a cube, and for a cube that the score does not allow. REQUIRES: the wanted plays are
/// legal ones, and there are some where they are wanted alone.
[[nodiscard]] RolledDecision roll_out_decision(const Instruments& instruments,
                                               const Decision& decision,
                                               const RolloutSettings& settings,
                                               const GradeBounds& grades = {},
                                               const WantedPlays& wanted = {});

}  // namespace sixfold
