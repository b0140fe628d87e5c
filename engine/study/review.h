/// A recorded match, decision by decision: what each play and each action of the cube cost, who was
/// lucky, and where the result came from.
///
/// Costs and luck of a turn are in equity at its score and cube, from the view of the player who
/// acts; sums over games and matches are in the match's own unit: chance to win the match or, at
/// money, points. They add up exactly:
///
///   result - start = (luck_0 - luck_1) - (costs_0 - costs_1) + disagreement
///
/// all from player 0's view. What is left over, the disagreement, is what the evaluator's own
/// values change by from one turn to the next when nothing happens, what a resignation gives away,
/// and beavers, which are not judged, nor the answers to them. The luck of a roll is the value of
/// its best play less the mean over all 36 rolls, the opening's over the 30 that begin a game.
#pragma once

#include <array>
#include <cstddef>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "record/match.h"
#include "study/cube_study.h"
#include "study/decision.h"

namespace sixfold {

/// What was done with the cube, or is right.
enum class CubeStep : std::uint8_t { kNoDouble, kDouble, kTake, kPass };

/// Sums by player and by kind; costs are 0 or more.
struct ReviewSums {
  std::array<double, 2> luck{};
  std::array<double, 2> cost_plays{};
  std::array<double, 2> cost_cube{};
  /// Of a player's costs together, by what was rolled out; the rest has no interval.
  std::array<double, 2> half_width{};
  /// The same of the difference between the players' costs, and so of the disagreement.
  double lead_half_width = 0.0;
};

/// What a cost comes from.
enum class JudgedBy : std::uint8_t { kStatic, kLookahead, kRollout };

struct ReviewedTurn {
  std::size_t number = 0;  ///< Of the record's turn in its game, from 1.
  int player = 0;
  TurnKind kind = TurnKind::kPlay;
  /// At the turn's score and cube: the player's or, of a take or a pass, that of who has doubled.
  Decision decision;
  PlayKey played{};  ///< Of a play.
  PlayKey best{};
  CubeStep done = CubeStep::kNoDouble;  ///< Of the cube; a double that was missed is a kDouble turn
  CubeStep right = CubeStep::kNoDouble;  ///< in which nothing was done.
  double cost = 0.0;
  JudgedBy judged_by = JudgedBy::kStatic;
  double static_cost = 0.0;            ///< The cost by static values.
  std::optional<double> half_width{};  ///< Of the cost, where it was rolled out.
  std::optional<double> luck{};        ///< Of a play's roll.
  bool is_forced = false;              ///< There was nothing to decide.
  double worth = 0.0;                  ///< What a unit of this equity is worth in the match's unit.
  /// What the match is worth for player 0 once it is done, by static values, in the match's unit.
  double value = 0.0;
  /// Static values of the best of a roll's plays, static or a roll ahead as `judged_by` has it,
  /// then of the played one where it is another.
  std::vector<EvaluatedPlay> plays{};
  /// Of a play that was rolled out, `played` and `best` among others.
  std::optional<RolledDecision> rolled{};
  /// Of the cube: what each action is worth, rolled out where the cost is.
  std::optional<CubeStudy> doubling{};
};

struct ReviewedGame {
  std::size_t number = 0;  ///< In the record, from 1.
  std::vector<ReviewedTurn> turns;
  /// Doubles that might have been made, and were left out rightly by static values, in order.
  std::vector<ReviewedTurn> waits;
  /// Before the opening roll, for player 0, in the match's unit; where the game is set up, the
  /// value of its first position.
  double start = 0.0;
  double result = 0.0;  ///< The same after the game or, where the record breaks off, by then.
  ReviewSums sums;      ///< In the match's unit.

  [[nodiscard]] double disagreement() const noexcept;
};

struct PlayerTotals {
  double cost_plays = 0.0;  ///< In equity, as those of turns.
  double cost_cube = 0.0;   ///< The same.
  double half_width = 0.0;  ///< Of both costs together, by what was rolled out.
  double luck = 0.0;        ///< In equity, too.
  /// Plays with a choice, doubles, answers to them, and doubles that were missed at a cost.
  std::size_t decisions = 0;
};

/// Which decisions are rolled out, and how.
struct ReviewDepth {
  double bound = 0.05;  ///< Those that cost at least so much by static values or a roll ahead.
  RolloutSettings settings;
};

struct MatchReview {
  RecordedMatch match;
  std::vector<ReviewedGame> games;  ///< Those that could be judged.
  std::array<PlayerTotals, 2> totals;
  std::vector<std::string> complaints;  ///< "game 2: ..." of what could not.
  bool is_looked_ahead = false;         ///< Decisions were looked at a roll ahead.
  std::optional<ReviewDepth> depth{};   ///< Where decisions were rolled out.
  /// It was stopped: games are missing, or dear decisions that were not rolled out any more.
  bool interrupted = false;
};

/// Whether any decision's cost comes from a rollout.
[[nodiscard]] bool has_rollouts(const MatchReview& review) noexcept;
/// Whether it is a take or a pass.
[[nodiscard]] constexpr bool is_answer(const ReviewedTurn& turn) noexcept {
  return turn.kind == TurnKind::kTake || turn.kind == TurnKind::kPass;
}

/// What a review asks: the evaluator for a decision (one is good until the next is asked for),
/// tables, match equities.
struct ReviewTools {
  std::function<const Evaluator&(const Decision&)> evaluator_for;
  const ExactTables& tables;
  const MatchEquityTable& match_table;
};

/// By static values. Ends early, with the games so far, when `stop` is set.
[[nodiscard]] MatchReview review_match(const ReviewTools& tools, const RecordedMatch& match,
                                       const std::atomic<bool>* stop = nullptr);

}  // namespace sixfold
