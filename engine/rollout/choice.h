/// How a player chooses: the play that an evaluator values most at a score, with the cube or
/// without.
#pragma once

#include <algorithm>
#include <array>
#include <optional>
#include <span>
#include <vector>

#include "equity/cube_rules.h"
#include "equity/score.h"
#include "evaluator/evaluator.h"
#include "rules/plays.h"

namespace sixfold {

/// What the side on roll chooses plays by: the worth of outcomes or, where somebody can still
/// double, what the cube makes of them. The rules must outlive it.
///
/// With the cube only plays close to the best by the worth of outcomes are looked at: within .15 of
/// equity at money and .3 at match scores, where gammons may count for more or less once the cube
/// is turned. What that loses: engine/rollout/README.md.
struct PlayWorth {
  PlayWorth(const OutcomeWorth& worth) noexcept : outcomes(worth) {}
  PlayWorth(const CubeRules& rules, const CubeState& now, CubeSide own) noexcept
      : outcomes(rules.play_worth(now.turns, own)),
        cube(rules.is_dead(now) ? nullptr : &rules),
        state(now),
        side(own),
        close((rules.is_unlimited() ? 0.15 : 0.3) * (outcomes[3] - outcomes[2]) / 2.0) {}

  OutcomeWorth outcomes;
  const CubeRules* cube = nullptr;
  CubeState state{};
  CubeSide side = CubeSide::kPlayer;
  double close = 0.0;
};

/// One thread's working memory for choosing plays; reused, never copied. Lists of values are as
/// long as was ever needed: trials have one each, and hardly any roll has more than a few dozen
/// plays.
struct ChoiceScratch {
  PlayList plays;
  std::vector<OutcomeDistribution> outcomes;
  std::vector<Outlook> outlooks;
  std::vector<double> worths;

  /// The first `count` places of one of the lists.
  template <typename Value>
  [[nodiscard]] static std::span<Value> first_of(std::vector<Value>& values, std::size_t count) {
    constexpr std::size_t kUsualPlays = 64;
    if (values.size() < count) values.resize(std::max(count, kUsualPlays));
    return std::span(values).first(count);
  }
};

struct Choice {
  PlayKey play;
  OutcomeDistribution outcomes;  ///< After the play, from the viewpoint of the player who makes it.
  std::optional<CubeLives> lives{};  ///< The same, where plays are chosen with the cube.
  double worth = 0.0;                ///< By what it was chosen.
};

/// The first of the plays with the highest worth, by the evaluator's static values. `worth` is that
/// of the side on roll. REQUIRES: the game is not over.
[[nodiscard]] Choice best_play(const Evaluator& evaluator, const Position& position, Roll roll,
                               const PlayWorth& worth, ChoiceScratch& scratch) noexcept;

/// The best play for every roll of a position.
struct BestPlays {
  std::array<Choice, kRollCount> of_roll;  ///< In the order of kRolls.

  /// The outcomes before the dice: the mean over the 36 outcomes of two dice.
  [[nodiscard]] OutcomeDistribution mean() const noexcept;
  /// The same of what they are worth to the side on roll.
  [[nodiscard]] double mean_worth() const noexcept;
};

/// best_play for each of the 21 rolls. REQUIRES: the game is not over.
[[nodiscard]] BestPlays best_plays(const Evaluator& evaluator, const Position& position,
                                   const PlayWorth& worth, ChoiceScratch& scratch) noexcept;

/// Plays that are looked ahead from: the statically best ones.
inline constexpr std::size_t kLookaheadPlays = 4;

/// A play, and what was seen on the way, each where it has been looked at.
struct ChosenPlay {
  PlayKey play;
  std::optional<BestPlays> replies{};  ///< The opponent's, after he has doubled or not.
  std::optional<Outlook> outlook{};    ///< After the play, for the player who makes it.
};

/// The best play by one roll of lookahead: of the statically best plays, the one whose worth is
/// highest after each of the opponent's 21 rolls and his statically best answer to it; with the
/// cube he doubles before them, and is answered, by static values.
[[nodiscard]] ChosenPlay best_play_ahead(const Evaluator& evaluator, const Position& position,
                                         Roll roll, const PlayWorth& worth,
                                         ChoiceScratch& scratch) noexcept;

}  // namespace sixfold
