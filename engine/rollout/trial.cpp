#include "rollout/trial.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <optional>
#include <utility>

#include "rollout/cube_game.h"
#include "rollout/dice_plan.h"
#include "rollout/random_stream.h"
#include "rules/game_result.h"

namespace sixfold {
namespace {

/// The rolls of one trial; the first ones may be planned.
class TrialDice {
 public:
  TrialDice(std::uint64_t seed, std::uint64_t trial, const std::optional<DicePlan>& plan) noexcept
      : random_(seed, trial), plan_(plan), place_(trial % kBlockTrials) {}

  [[nodiscard]] Roll next() noexcept {
    // Drawn in any case, so that later rolls are the same with and without a plan.
    const Roll drawn = random_.roll();
    const std::size_t ply = ply_++;
    return plan_ && ply < kPlannedPlies ? plan_->roll(ply, place_) : drawn;
  }

 private:
  RandomStream random_;
  const std::optional<DicePlan>& plan_;
  std::size_t place_;
  std::size_t ply_ = 0;
};

class Trial {
 public:
  Trial(const TrialRules& rules, const TrialStart& start, ChoiceScratch& scratch) noexcept
      : rules_(rules),
        opponents_worth_(opponents_worth(rules.worth)),
        scratch_(scratch),
        position_(start.position),
        player_rolls_(start.player_rolls) {
    if (rules.cube != nullptr) cube_.emplace(*rules.cube, *rules.evaluator, start.cube);
  }

  [[nodiscard]] BlockMeans play(TrialDice& dice, bool may_double) noexcept {
    for (ply_ = 0;; ++ply_) {
      begin_ply(may_double || ply_ > 0);
      if (outcome_ && !cube_goes_on()) {
        OutcomeDistribution adjusted = *outcome_;
        adjusted -= luck_;
        return {adjusted, luck_};
      }
      play_roll(dice.next());
    }
  }

  /// Instead of play().
  [[nodiscard]] FirstRolls first_rolls(bool may_double, const OutcomeWorth& equity) noexcept {
    begin_ply(may_double);
    return {worth_before(equity), first_luck(equity)};
  }

  /// REQUIRES: the rules have a cube, and play() has returned.
  [[nodiscard]] CubeMeans with_cube() const noexcept { return cube_->means(); }

 private:
  void begin_ply(bool may_double) noexcept {
    if (!outcome_) look_for_end();
    if (cube_goes_on()) look_for_cube_end(may_double);
  }
  [[nodiscard]] double worth_before(const OutcomeWorth& equity) const noexcept {
    if (cube_) {
      CubeGame now = *cube_;
      if (!now.is_over()) now.cut(position_, side());
      return worth_of(now.means().outcomes, rules_.cube->worth());
    }
    return worth_of(outcome_ ? *outcome_ : for_player(rules_.evaluator->evaluate(position_)),
                    equity);
  }
  [[nodiscard]] std::array<double, kRollCount> first_luck(
      const OutcomeWorth& equity) const noexcept {
    std::array<double, kRollCount> worths{};
    const bool is_known = outcome_ && !cube_goes_on();
    if (game_over(position_) ||
        (is_known ? !rules_.evaluator->known(position_) : rules_.luck == nullptr)) {
      return worths;
    }
    // Where a double has been passed, no roll matters.
    if (cube_ && cube_->is_over() && !(is_known && cube_->is_dead())) return worths;
    const LuckOfRolls luck =
        is_known ? luck_among(best_plays(*rules_.evaluator, position_, worth(), scratch_))
                 : rules_.luck->luck_of_rolls(position_, worth(), scratch_);
    for (std::size_t r = 0; r < kRollCount; ++r) {
      worths[r] = cube_goes_on() ? cube_luck(luck, kRolls[r])
                                 : worth_of(for_player(luck[r].outcomes), worth_now(equity));
    }
    return worths;
  }
  [[nodiscard]] double cube_luck(const LuckOfRolls& luck, Roll roll) const noexcept {
    CubeGame rolled = *cube_;
    if (has_exact_cube_luck()) {
      rolled.take_exact_luck(position_, roll, side());
    } else {
      rolled.take_luck(luck, roll, side());
    }
    return worth_of(rolled.luck(), rules_.cube->worth());
  }
  /// Of the outcomes, the cube where it is.
  [[nodiscard]] OutcomeWorth worth_now(const OutcomeWorth& equity) const noexcept {
    if (!cube_) return equity;
    OutcomeWorth now;
    std::copy_n(rules_.cube->worth().at[cube_->state().turns].begin(), now.size(), now.begin());
    return now;
  }
  [[nodiscard]] CubeSide side() const noexcept {
    return player_rolls_ ? CubeSide::kPlayer : CubeSide::kOther;
  }
  [[nodiscard]] bool cube_goes_on() const noexcept { return cube_ && !cube_->is_over(); }
  [[nodiscard]] bool is_cut() const noexcept {
    return rules_.truncate > 0 && ply_ >= rules_.truncate;
  }
  [[nodiscard]] OutcomeDistribution for_player(const OutcomeDistribution& outcomes) const noexcept {
    return player_rolls_ ? outcomes : reversed(outcomes);
  }
  /// By what plays are chosen. Where the game has ended with the cube it is gone on with as if that
  /// were dead.
  [[nodiscard]] PlayWorth worth() const noexcept {
    if (cube_goes_on()) return {*rules_.cube, cube_->state(), side()};
    if (cube_) return rules_.cube->play_worth(cube_->state().turns, side());
    return player_rolls_ ? rules_.worth : opponents_worth_;
  }

  /// Of the game without the cube.
  void look_for_end() noexcept {
    if (const auto result = game_result(position_)) {
      outcome_ = for_player(certain(*result));
    } else if (const auto known = known_outcomes()) {
      outcome_ = for_player(*known);
    } else if (is_cut()) {
      outcome_ = for_player(rules_.evaluator->evaluate(position_));
    }
  }
  [[nodiscard]] std::optional<OutcomeDistribution> known_outcomes() const noexcept {
    return rules_.known_ends ? known_to_both(*rules_.player, rules_.opponent, position_)
                             : std::nullopt;
  }

  /// Of the game with it: the side on roll doubles first, if it may.
  void look_for_cube_end(bool may_double) noexcept {
    if (const auto result = game_result(position_)) {
      cube_->end(for_player(certain(*result)));
    } else if (const auto known = cube_->is_dead() ? known_outcomes() : std::nullopt) {
      cube_->end(for_player(*known));
    } else if (is_cut()) {
      cube_->cut(position_, side());
    } else {
      const std::optional<Outlook> his = may_double ? opponents_outlook() : std::nullopt;
      cube_->decide(position_, outlook(), side(), may_double, his ? &*his : nullptr);
    }
  }

  /// Of the side on roll. Who chose the last play may have seen it already.
  [[nodiscard]] Outlook outlook() const noexcept {
    return outlook_ ? reversed(*outlook_) : rules_.evaluator->evaluate_with_cube(position_);
  }
  /// The same as an opponent sees it who has an evaluator of his own, where somebody may double.
  [[nodiscard]] std::optional<Outlook> opponents_outlook() const noexcept {
    if (rules_.opponent == nullptr || !rules_.cube->may_double(cube_->state(), side())) return {};
    return rules_.opponents_evaluator->evaluate_with_cube(position_);
  }
  [[nodiscard]] bool is_opponents_turn() const noexcept {
    return rules_.opponent != nullptr && !player_rolls_;
  }

  void play_roll(Roll roll) noexcept {
    std::optional<PlayKey> best;
    if (rules_.luck != nullptr) best = take_luck(roll);
    ChosenPlay decision;
    const auto exact = cube_goes_on() ? cube_->exact_play(position_, roll, side()) : std::nullopt;
    if (exact) {
      decision.play = *exact;
    } else if (is_opponents_turn()) {
      decision = rules_.opponent->decide(position_, roll, worth(), scratch_);
    } else if (best && rules_.luck_chooses) {
      decision.play = *best;
    } else {
      decision = rules_.player->decide(position_, roll, worth(), scratch_);
    }
    position_ = position_after(position_, decision.play);
    replies_ = std::move(decision.replies);
    outlook_.reset();
    if (rules_.plays_by_evaluator && !is_opponents_turn()) outlook_ = decision.outlook;
    player_rolls_ = !player_rolls_;
  }

  [[nodiscard]] bool has_exact_cube_luck() const noexcept {
    return outcome_ && rules_.known_ends && cube_->is_exact(position_);
  }
  /// Returns the best play where the source knows it.
  [[nodiscard]] std::optional<PlayKey> take_luck(Roll roll) noexcept {
    Luck of_roll;
    if (!cube_goes_on()) {
      of_roll = replies_ ? luck_among(*replies_, roll)
                         : rules_.luck->luck(position_, roll, worth(), scratch_);
    } else if (has_exact_cube_luck()) {
      cube_->take_exact_luck(position_, roll, side());
      return std::nullopt;
    } else {
      const LuckOfRolls luck = replies_ ? luck_among(*replies_)
                                        : rules_.luck->luck_of_rolls(position_, worth(), scratch_);
      cube_->take_luck(luck, roll, side());
      of_roll = luck[static_cast<std::size_t>(roll.index())];
    }
    if (!outcome_) luck_ += for_player(of_roll.outcomes);
    return of_roll.play;
  }

  const TrialRules& rules_;
  OutcomeWorth opponents_worth_;
  ChoiceScratch& scratch_;
  Position position_;
  bool player_rolls_;
  int ply_ = 0;
  OutcomeDistribution luck_;
  std::optional<OutcomeDistribution> outcome_;  ///< Without the cube, once it is known.
  std::optional<CubeGame> cube_;
  std::optional<Outlook> outlook_;    ///< For the other player, where he has looked at it.
  std::optional<BestPlays> replies_;  ///< For all rolls, where the other player has looked at them.
};

}  // namespace

BlockMeans play_trial(const TrialRules& rules, const TrialStart& start, std::uint64_t trial,
                      ChoiceScratch& scratch, CubeMeans* cube) noexcept {
  assert(cube != nullptr || rules.cube == nullptr);
  Trial played(rules, start, scratch);
  std::optional<DicePlan> plan;
  if (rules.stratified) plan.emplace(rules.seed, trial / kBlockTrials);
  TrialDice dice(rules.seed, trial, plan);
  const BlockMeans means = played.play(dice, start.may_double);
  if (rules.cube != nullptr) *cube = played.with_cube();
  return means;
}

FirstRolls first_rolls_of(const TrialRules& rules, const TrialStart& start,
                          const OutcomeWorth& worth, ChoiceScratch& scratch) noexcept {
  return Trial(rules, start, scratch).first_rolls(start.may_double, worth);
}

BlockMeans play_block(const TrialRules& rules, const Position& position, std::uint64_t block,
                      ChoiceScratch& scratch) noexcept {
  std::array<BlockMeans, kBlockTrials> trials;
  for (std::uint64_t i = 0; i < kBlockTrials; ++i) {
    trials[i] = play_trial(rules, {position}, block * kBlockTrials + i, scratch);
  }
  return block_mean<OutcomeDistribution>(trials);
}

}  // namespace sixfold
