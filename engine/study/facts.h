/// Facts of a position that explain why a play wins, in the trade's terms.
///
/// Everything is counted from the rules, nothing estimated. Points are numbered by their owner.
/// Pure functions; safe to use from any thread.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <utility>
#include <vector>

#include "rules/plays.h"
#include "rules/position.h"

namespace sixfold {

/// Points that follow one another, each held by two checkers or more.
struct Prime {
  int length = 0;
  int from = 0;  ///< Its rearmost point.
  friend bool operator==(const Prime&, const Prime&) = default;
};

/// Rolls of the 36.
struct RollCount {
  int any = 0;   ///< That hit at least one blot, or enter at least one checker.
  int more = 0;  ///< That hit two blots, or enter all checkers.
  friend bool operator==(const RollCount&, const RollCount&) = default;
};

/// One side's checkers; points in descending order.
struct SideFacts {
  int pips = 0;
  std::vector<int> blots;
  std::vector<int> home_blots;    ///< Those of them on the points 1 to 6.
  std::vector<int> anchors;       ///< Held points of the other side's home board: 19 to 24.
  std::vector<int> home_points;   ///< Held points 1 to 6.
  std::vector<int> outer_points;  ///< Held points between the home boards: 7 to 18.
  Prime prime;                    ///< The longest, the rearmost of equals; of two points at least.
  std::vector<std::pair<int, int>> spares;  ///< Point, checkers beyond two.
  std::vector<int> stacked;                 ///< Points with five checkers and more.
  int back = 0;  ///< Checkers in the other side's home board or on the bar.
  int on_bar = 0;
  friend bool operator==(const SideFacts&, const SideFacts&) = default;
};

/// Points of the first list that are not in the second.
[[nodiscard]] std::vector<int> without(std::span<const int> points, std::span<const int> others);

[[nodiscard]] SideFacts side_facts(const Side& side);

/// Rolls with which the side on roll hits, by the best it can do with each for that. REQUIRES: the
/// game is not over, here and below.
[[nodiscard]] RollCount hitting_rolls(const Position& position);
/// The same on some of its points alone: bit p-1 for point p.
[[nodiscard]] RollCount hitting_rolls(const Position& position, std::uint32_t points);
/// Rolls with which it enters from the bar; nothing where it has no checker there.
[[nodiscard]] std::optional<RollCount> entering_rolls(const Position& position);

/// What a play makes of a position.
struct PlayFacts {
  SideFacts mover;
  SideFacts opponent;
  int hits = 0;             ///< Checkers that the play hits.
  std::vector<int> hit_on;  ///< Where: the mover's points, in descending order, as all below.
  std::vector<int> made;    ///< Points that were not held before.
  /// Points that are no longer held, but for the 24 point: nobody holds that for its own sake.
  std::vector<int> broken;
  bool splits_back = false;   ///< One of two checkers on the 24 point leaves it.
  std::vector<int> stripped;  ///< Points with exactly two checkers where there were more.
  bool mover_wins = false;    ///< By this play.
  RollCount shots;            ///< The opponent's rolls that hit the mover.
  int shots_at_back =
      0;  ///< Those that hit a checker in the opponent's home board: at little cost.
  int shots_at_others = 0;  ///< Those that hit one elsewhere; a roll may do either.
  std::optional<RollCount> opponent_enters;
};

/// Nothing of the opponent's rolls is counted where the play ends the game.
[[nodiscard]] PlayFacts play_facts(const Position& before, PlayKey play);

}  // namespace sixfold
