/// Who chooses the plays of a trial, for both sides.
#pragma once

#include <cstdint>
#include <optional>

#include "rollout/choice.h"

namespace sixfold {

/// Implementations are safe to use from any thread.
class Player {
 public:
  Player() = default;
  Player(const Player&) = delete;
  Player& operator=(const Player&) = delete;
  virtual ~Player() = default;

  /// `worth` is that of the side on roll. REQUIRES: the game is not over.
  [[nodiscard]] virtual ChosenPlay decide(const Position& position, Roll roll,
                                          const PlayWorth& worth,
                                          ChoiceScratch& scratch) const noexcept = 0;
  /// The outcomes when this player plays both sides, where they are known exactly.
  [[nodiscard]] virtual std::optional<OutcomeDistribution> known(
      const Position& position) const noexcept = 0;
};

/// Plays by an evaluator's values, 0 or 1 rolls ahead.
class EvaluatorPlayer final : public Player {
 public:
  explicit EvaluatorPlayer(const Evaluator& evaluator, int lookahead = 0)
      : evaluator_(evaluator), lookahead_(lookahead) {}
  [[nodiscard]] ChosenPlay decide(const Position& position, Roll roll, const PlayWorth& worth,
                                  ChoiceScratch& scratch) const noexcept override {
    if (lookahead_ > 0) return best_play_ahead(evaluator_, position, roll, worth, scratch);
    const Choice best = best_play(evaluator_, position, roll, worth, scratch);
    ChosenPlay chosen{best.play};
    if (best.lives) chosen.outlook = Outlook{best.outcomes, *best.lives};
    return chosen;
  }
  [[nodiscard]] std::optional<OutcomeDistribution> known(
      const Position& position) const noexcept override {
    return evaluator_.known(position);
  }

 private:
  const Evaluator& evaluator_;
  int lookahead_;
};

class LuckSource;

/// The outcomes of a position where all of those who play know them exactly: an opponent who is
/// null plays as the first does.
template <typename First, typename Opponent>
[[nodiscard]] std::optional<OutcomeDistribution> known_to_both(const First& first,
                                                               const Opponent* opponent,
                                                               const Position& position) noexcept {
  auto known = first.known(position);
  if (known && opponent != nullptr && !opponent->known(position)) known.reset();
  return known;
}

/// Who plays trials, and what their luck is read from. Cheap to copy; what it names must outlive
/// it.
struct TrialPlayers {
  /// An evaluator alone plays for both sides.
  TrialPlayers(const Evaluator& its_evaluator, const LuckSource* its_luck = nullptr,
               const Player* its_player = nullptr) noexcept
      : evaluator(its_evaluator), luck(its_luck), player(its_player) {}

  const Evaluator& evaluator;
  const LuckSource* luck;  ///< For LuckControl::kEstimated.
  const Player* player;    ///< Chooses the plays instead of the evaluator, where there is one.
  /// By its values the opponent of the player whose play is rolled out plays, doubles and takes;
  /// null: as that player does. The player himself plays as against anyone.
  const Evaluator* opponent = nullptr;
  /// All of them as a number of the caller's (a hash of the net and the tables): what was kept of a
  /// rollout by others is not gone on with.
  std::uint64_t identity = 0;

  /// The outcomes where those who play know them exactly.
  [[nodiscard]] std::optional<OutcomeDistribution> known(const Position& position) const noexcept {
    return player != nullptr ? known_to_both(*player, opponent, position)
                             : known_to_both(evaluator, opponent, position);
  }
};

}  // namespace sixfold
