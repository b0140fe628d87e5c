#include "rollout/trial.h"

#include <array>
#include <optional>
#include <utility>

#include "rollout/dice_plan.h"
#include "rollout/random_stream.h"
#include "rules/game_result.h"

namespace sixfold {
namespace {

/// The rolls of one trial; the first ones may be planned.
class TrialDice {
 public:
  TrialDice(std::uint64_t seed, std::uint64_t trial) noexcept : random_(seed, trial) {}
  TrialDice(std::uint64_t seed, std::uint64_t trial, const DicePlan& plan) noexcept
      : random_(seed, trial), plan_(&plan), place_(trial % kBlockTrials) {}

  [[nodiscard]] Roll next() noexcept {
    // Drawn in any case, so that later rolls are the same with and without a plan.
    const Roll drawn = random_.roll();
    const std::size_t ply = ply_++;
    return plan_ != nullptr && ply < kPlannedPlies ? plan_->roll(ply, place_) : drawn;
  }

 private:
  RandomStream random_;
  const DicePlan* plan_ = nullptr;
  std::size_t place_ = 0;
  std::size_t ply_ = 0;
};

class Trial {
 public:
  Trial(const TrialRules& rules, ChoiceScratch& scratch) noexcept
      : rules_(rules), opponents_worth_(opponents_worth(rules.worth)), scratch_(scratch) {}

  /// The outcome and the luck, from the viewpoint of the player who is not on roll.
  [[nodiscard]] BlockMeans play(Position position, TrialDice& dice) noexcept {
    OutcomeDistribution luck;
    std::optional<BestPlays> plays;  // For all rolls, where the other player has looked at them.
    bool mine = false;
    for (int ply = 0;; ++ply) {
      if (const auto end = ended(position, ply)) {
        OutcomeDistribution outcome = mine ? *end : reversed(*end);
        outcome -= luck;
        return {outcome, luck};
      }
      const OutcomeWorth& worth = mine ? rules_.worth : opponents_worth_;
      const Roll roll = dice.next();
      std::optional<PlayKey> best;
      if (rules_.luck != nullptr) {
        const Luck of_roll =
            plays ? luck_among(*plays, roll) : rules_.luck->luck(position, roll, worth, scratch_);
        luck += mine ? of_roll.outcomes : reversed(of_roll.outcomes);
        best = of_roll.play;
      }
      ChosenPlay decision;
      if (best && rules_.luck_chooses) {
        decision.play = *best;
      } else {
        decision = rules_.player->decide(position, roll, worth, scratch_);
      }
      position = position_after(position, decision.play);
      plays = std::move(decision.replies);
      mine = !mine;
    }
  }

 private:
  [[nodiscard]] std::optional<OutcomeDistribution> ended(const Position& position,
                                                         int ply) const noexcept {
    if (const auto result = game_result(position)) return certain(*result);
    if (rules_.known_ends) {
      if (const auto known = rules_.player->known(position)) return known;
    }
    if (rules_.truncate > 0 && ply >= rules_.truncate) return rules_.evaluator->evaluate(position);
    return std::nullopt;
  }

  const TrialRules& rules_;
  OutcomeWorth opponents_worth_;
  ChoiceScratch& scratch_;
};

}  // namespace

BlockMeans play_trial(const TrialRules& rules, const Position& position, std::uint64_t trial,
                      ChoiceScratch& scratch) noexcept {
  Trial played(rules, scratch);
  if (!rules.stratified) {
    TrialDice dice(rules.seed, trial);
    return played.play(position, dice);
  }
  const DicePlan plan(rules.seed, trial / kBlockTrials);
  TrialDice dice(rules.seed, trial, plan);
  return played.play(position, dice);
}

BlockMeans block_mean(std::span<const BlockMeans> trials) noexcept {
  BlockMeans mean;
  for (const BlockMeans& one : trials) {
    mean.outcomes += one.outcomes;
    mean.luck += one.luck;
  }
  mean.outcomes *= 1.0 / static_cast<double>(kBlockTrials);
  mean.luck *= 1.0 / static_cast<double>(kBlockTrials);
  return mean;
}

BlockMeans play_block(const TrialRules& rules, const Position& position, std::uint64_t block,
                      ChoiceScratch& scratch) noexcept {
  std::array<BlockMeans, kBlockTrials> trials;
  for (std::uint64_t i = 0; i < kBlockTrials; ++i) {
    trials[i] = play_trial(rules, position, block * kBlockTrials + i, scratch);
  }
  return block_mean(trials);
}

}  // namespace sixfold
