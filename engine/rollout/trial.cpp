#include "rollout/trial.h"

#include <optional>

#include "rollout/random_stream.h"
#include "rules/game_result.h"

namespace sixfold {
namespace {

// Trials draw from the streams 0, 1, 2, ... of the seed; blocks from streams far above.
constexpr std::uint64_t kBlockStreams = std::uint64_t{1} << 62;

/// The rolls of one trial: the first two may be laid down beforehand.
class TrialDice {
 public:
  TrialDice(std::uint64_t seed, std::uint64_t trial) noexcept : random_(seed, trial) {}

  void lay_down(Roll first, Roll second) noexcept {
    laid_down_ = {first, second};
    left_ = laid_down_.size();
  }
  [[nodiscard]] Roll next() noexcept {
    // Drawn in any case, so that later rolls are the same with and without stratification.
    const Roll drawn = random_.roll();
    return left_ == 0 ? drawn : laid_down_[laid_down_.size() - left_--];
  }

 private:
  RandomStream random_;
  std::array<Roll, 2> laid_down_{};
  std::size_t left_ = 0;
};

class Trial {
 public:
  Trial(const TrialRules& rules, ChoiceScratch& scratch) noexcept
      : rules_(rules), opponents_worth_(opponents_worth(rules.worth)), scratch_(scratch) {}

  /// The outcome, adjusted for luck, from the viewpoint of the player who is not on roll.
  [[nodiscard]] OutcomeDistribution play(Position position, TrialDice& dice) noexcept {
    OutcomeDistribution luck;
    bool mine = false;
    for (int ply = 0;; ++ply) {
      if (const auto end = ended(position, ply)) {
        OutcomeDistribution outcome = mine ? *end : reversed(*end);
        outcome -= luck;
        return outcome;
      }
      const OutcomeWorth& worth = mine ? rules_.worth : opponents_worth_;
      const Roll roll = dice.next();
      Choice choice;
      if (rules_.variance_reduction) {
        const BestPlays best = best_plays(*rules_.evaluator, position, worth, scratch_);
        choice = best.of_roll[static_cast<std::size_t>(roll.index())];
        OutcomeDistribution roll_luck = choice.outcomes;
        roll_luck -= best.mean();
        luck += mine ? roll_luck : reversed(roll_luck);
      } else if (rules_.lookahead == 0) {
        choice = best_play(*rules_.evaluator, position, roll, worth, scratch_);
      }
      if (rules_.lookahead > 0) {
        choice.play = best_play_ahead(*rules_.evaluator, position, roll, worth, scratch_);
      }
      position = position_after(position, choice.play);
      mine = !mine;
    }
  }

 private:
  [[nodiscard]] std::optional<OutcomeDistribution> ended(const Position& position,
                                                         int ply) const noexcept {
    if (const auto result = game_result(position)) return certain(*result);
    if (rules_.truncate > 0 && ply >= rules_.truncate) return rules_.evaluator->evaluate(position);
    return std::nullopt;
  }

  const TrialRules& rules_;
  OutcomeWorth opponents_worth_;
  ChoiceScratch& scratch_;
};

}  // namespace

OutcomeDistribution play_block(const TrialRules& rules, const Position& position,
                               std::uint64_t block, ChoiceScratch& scratch) noexcept {
  RandomStream random(rules.seed, kBlockStreams + block);
  std::array<std::array<std::uint8_t, kBlockTrials>, 4> dice_order;
  for (auto& order : dice_order) order = random.permutation<kBlockTrials>();
  const auto roll_of = [&](std::size_t die, std::size_t i) {
    return make_roll(dice_order[die][i] + 1, dice_order[die + 1][i] + 1);
  };
  Trial trial(rules, scratch);
  OutcomeDistribution sum;
  for (std::size_t i = 0; i < kBlockTrials; ++i) {
    TrialDice dice(rules.seed, block * kBlockTrials + i);
    if (rules.variance_reduction) dice.lay_down(roll_of(0, i), roll_of(2, i));
    sum += trial.play(position, dice);
  }
  sum *= 1.0 / static_cast<double>(kBlockTrials);
  return sum;
}

}  // namespace sixfold
