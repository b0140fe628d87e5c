/// Games of an evaluator against itself, and the targets that they give.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "rollout/choice.h"
#include "rollout/luck.h"
#include "rollout/random_stream.h"
#include "train/learner.h"

namespace sixfold {

[[nodiscard]] TargetOutcomes in_floats(const OutcomeDistribution& outcomes) noexcept;

/// A turn at which another play was tried than the best.
struct TriedPlay {
  std::size_t turn;
  TargetOutcomes best;  ///< After the best play, from the viewpoint of the player at that turn.
};

/// One game: every position from the start to the last, each with its player on roll.
struct GameRecord {
  std::vector<Position> positions;  ///< The finished position is the last.
  std::vector<Roll> rolls;          ///< Of each position but the last.
  std::vector<TriedPlay> tried{};   ///< In the order of turns.
};

/// How often a player tries another play than the best, with equal chances for all whose worth is
/// within `gap` of it. Else plays that a network rates too low are never made, and what it thinks
/// of them never mended.
struct Exploration {
  double share = 0.0;  ///< Of turns, as far as there is such a play.
  double gap = 0.1;
};

/// Plays game number `game` of `seed` from `start`, both sides choosing the best play by what the
/// outcomes are worth to them; `worth` is that of the side that begins. The first roll may be
/// doubles, so that the start's value is that before any roll.
[[nodiscard]] GameRecord play_game(const Evaluator& evaluator, const Position& start,
                                   const OutcomeWorth& worth, std::uint64_t seed,
                                   std::uint64_t game, ChoiceScratch& scratch,
                                   const Exploration& exploration = {});

/// What the roll of each position but the last added to the chances of its side on roll. `worth` is
/// that of the side that began.
[[nodiscard]] std::vector<TargetOutcomes> luck_of_rolls(const GameRecord& game,
                                                        const OutcomeWorth& worth,
                                                        const LuckSource& source,
                                                        ChoiceScratch& scratch);

/// The same with less noise: where there is contact, `rolls` dice results (that of the game and
/// others drawn from `random`) are looked at, and what the source gets wrong about them on average
/// is taken to be what it gets wrong about the position. Expectations stay what they are.
/// REQUIRES: rolls > 0.
[[nodiscard]] std::vector<TargetOutcomes> mended_luck_of_rolls(
    const GameRecord& game, const OutcomeWorth& worth, const LuckSource& source,
    const Evaluator& evaluator, int rolls, RandomStream& random, ChoiceScratch& scratch);

/// TD(lambda) targets for all positions of a game but the last, each from the viewpoint of its side
/// on roll: G_t = reversed((1 - lambda) V_{t+1} + lambda G_{t+1}) - L_t, with the result at the
/// end. `values` are the network's outputs V_t for the same positions, `luck` L_t is that of their
/// rolls or empty: taking it out changes no target's expectation and makes most of its noise go.
/// Targets then add up to 1 but may lie somewhat outside 0..1. Where another play than the best was
/// tried, the value after the best one takes the place of what followed.
/// Source: Sutton R. & Barto A., Reinforcement Learning, 2nd ed., 2018, section 12.1.
[[nodiscard]] std::vector<TargetOutcomes> lambda_returns(const GameRecord& game,
                                                         std::span<const TargetOutcomes> values,
                                                         std::span<const TargetOutcomes> luck,
                                                         float lambda);

}  // namespace sixfold
