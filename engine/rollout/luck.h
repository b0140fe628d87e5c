/// The luck of rolls, which trials take out of their results.
#pragma once

#include <array>
#include <optional>

#include "evaluator/quantised_luck.h"
#include "rollout/choice.h"

namespace sixfold {

/// The luck of one roll.
struct Luck {
  /// What the roll adds to the chance of each outcome, for the side on roll.
  OutcomeDistribution outcomes;
  /// The best play for the roll, where it has been looked for.
  std::optional<PlayKey> play;
  /// How alive the cube is after it, for the side that rolled, where plays are looked for with the
  /// cube.
  std::optional<CubeLives> lives{};
};

/// The luck of all rolls, in the order of kRolls.
using LuckOfRolls = std::array<Luck, kRollCount>;

/// The luck of a roll among the best plays for all of a position.
[[nodiscard]] Luck luck_among(const BestPlays& plays, Roll roll) noexcept;
[[nodiscard]] LuckOfRolls luck_among(const BestPlays& plays) noexcept;

/// Where luck is read from. Whatever the source takes rolls to be worth, the luck of a position's
/// 36 dice results sums to zero for each outcome, so that taking it out changes no expectation.
/// Implementations are safe to use from any thread.
class LuckSource {
 public:
  LuckSource() = default;
  LuckSource(const LuckSource&) = delete;
  LuckSource& operator=(const LuckSource&) = delete;
  virtual ~LuckSource() = default;

  /// `worth` is that of the side on roll. REQUIRES: the game is not over.
  [[nodiscard]] virtual Luck luck(const Position& position, Roll roll, const PlayWorth& worth,
                                  ChoiceScratch& scratch) const noexcept = 0;
  /// The luck of every roll: the same values.
  [[nodiscard]] virtual LuckOfRolls luck_of_rolls(const Position& position, const PlayWorth& worth,
                                                  ChoiceScratch& scratch) const noexcept;
};

/// Full control: an evaluator's values after the best plays for all 21 rolls.
class FullControl final : public LuckSource {
 public:
  explicit FullControl(const Evaluator& evaluator) : evaluator_(evaluator) {}
  [[nodiscard]] Luck luck(const Position& position, Roll roll, const PlayWorth& worth,
                          ChoiceScratch& scratch) const noexcept override {
    return luck_among(best_plays(evaluator_, position, worth, scratch), roll);
  }
  [[nodiscard]] LuckOfRolls luck_of_rolls(const Position& position, const PlayWorth& worth,
                                          ChoiceScratch& scratch) const noexcept override {
    return luck_among(best_plays(evaluator_, position, worth, scratch));
  }

 private:
  const Evaluator& evaluator_;
};

/// The estimates of trained luck networks: far cheaper than full control, and a little less exact.
class NetworkLuck final : public LuckSource {
 public:
  /// Throws InputError for networks that do not fit into integers. REQUIRES: is_available(level).
  explicit NetworkLuck(const LuckPair& networks, InstructionSet level = best_instruction_set())
      : contact_(networks.contact, "contact", level), race_(networks.race, "race", level) {}
  [[nodiscard]] Luck luck(const Position& position, Roll roll, const PlayWorth&,
                          ChoiceScratch&) const noexcept override {
    return {network_for(position).luck(position, roll), {}};
  }
  [[nodiscard]] LuckOfRolls luck_of_rolls(const Position& position, const PlayWorth&,
                                          ChoiceScratch&) const noexcept override;

 private:
  [[nodiscard]] const QuantisedLuck& network_for(const Position& position) const noexcept {
    return is_race(position) ? race_ : contact_;
  }

  QuantisedLuck contact_;
  QuantisedLuck race_;
};

}  // namespace sixfold
