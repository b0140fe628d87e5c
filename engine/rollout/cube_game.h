/// The cube in one trial: how the game ends when the players double, while the game itself is
/// played to its end in any case; and the luck of the rolls in that.
#pragma once

#include <array>
#include <optional>

#include "equity/cube_ends.h"
#include "equity/cube_rules.h"
#include "evaluator/evaluator.h"
#include "rollout/block_means.h"
#include "rollout/luck.h"

namespace sixfold {

/// Not thread-safe. Results are for CubeSide::kPlayer.
class CubeGame {
 public:
  CubeGame(const CubeRules& rules, const Evaluator& evaluator, const CubeState& start) noexcept
      : rules_(rules), evaluator_(evaluator), state_(start) {}

  /// Whether the game has ended with the cube; without it, it may go on.
  [[nodiscard]] bool is_over() const noexcept { return is_over_; }
  /// Whether nobody can double any more.
  [[nodiscard]] bool is_dead() const noexcept { return rules_.is_dead(state_); }
  [[nodiscard]] const CubeState& state() const noexcept { return state_; }

  /// `side`, on roll, doubles or not, if it may, and is answered; `outlook` is its own. Where there
  /// is an `opponents`, the same outlook as kOther sees it, kOther doubles and answers by that.
  /// REQUIRES: neither game is over.
  void decide(const Position& position, const Outlook& outlook, CubeSide side, bool may_double,
              const Outlook* opponents = nullptr) noexcept;
  /// The best play with the cube, where the table has the position.
  [[nodiscard]] std::optional<PlayKey> exact_play(const Position& position, Roll roll,
                                                  CubeSide side) const noexcept;
  /// Takes the luck of `roll` out, as the estimates of all rolls' luck have it, or from exact
  /// equities. REQUIRES: decide() has been called for the position and has not ended the game.
  void take_luck(const LuckOfRolls& luck, Roll roll, CubeSide side) noexcept;
  void take_exact_luck(const Position& position, Roll roll, CubeSide side) noexcept;
  [[nodiscard]] bool is_exact(const Position& position) const noexcept {
    return rules_.is_exact(position);
  }

  /// The game ends with these outcomes for kPlayer at the cube's present value.
  void end(const OutcomeDistribution& outcomes) noexcept;
  /// The game is cut off before `side` decides: it ends as the model sees it.
  void cut(const Position& position, CubeSide side) noexcept;

  /// What has been taken out so far.
  [[nodiscard]] const CubeResults& luck() const noexcept { return luck_; }
  /// How it ended, the luck taken out; and that luck. REQUIRES: is_over().
  [[nodiscard]] CubeMeans means() const noexcept;

 private:
  /// What a roll leads to, by whichever source.
  struct Prospect {
    OutcomeDistribution outcomes;      ///< For the side that rolls.
    std::optional<CubeLives> lives{};  ///< The same; nothing: as before the roll.
    std::optional<double> equity{};    ///< Exactly, for kPlayer.
  };
  /// What `side` does and the other answers, who see the position differently.
  [[nodiscard]] CubeDecision decision_between(const Position& position, const Outlook& outlook,
                                              const Outlook& opponents,
                                              CubeSide side) const noexcept;
  /// Shifts passed doubles so far that the ends are worth what they should be.
  void shift_to(CubeResults& results, double equity) const noexcept;
  void take_luck_among(const std::array<Prospect, kRollCount>& prospects, Roll roll,
                       CubeSide side) noexcept;
  /// What follows for `side`, about to decide, from this outlook of its own.
  [[nodiscard]] CubeEnds ends_of(const Outlook& outlook, CubeSide side) const noexcept;
  struct ExactPlay {
    PlayKey play;
    Prospect prospect;
  };
  [[nodiscard]] ExactPlay best_exact(const Position& position, Roll roll,
                                     CubeSide side) const noexcept;

  const CubeRules& rules_;
  const Evaluator& evaluator_;
  CubeState state_;
  bool is_over_ = false;
  Outlook before_;  ///< Of the side on roll, as it decided.
  CubeResults result_;
  CubeResults luck_;
};

}  // namespace sixfold
