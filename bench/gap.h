// A network against exact truth: errors of its static values, and what the plays chosen by them
// cost.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "exact/side_index.h"
#include "rollout/choice.h"
#include "rules/notation.h"

namespace sixfold {

/// Errors of static equities and costs of plays, over some positions and rolls.
class Gap {
 public:
  Gap(const Evaluator& net, const ExactTables& tables) : net_(net), tables_(tables) {}

  void add_value(const Position& position) {
    const double error = worth_of(net_.evaluate(position), kMoneyWorth) - true_equity(position);
    squares_ += error * error;
    sum_ += error;
    if (std::abs(error) > std::abs(worst_)) {
      worst_ = error;
      worst_position_ = position;
    }
    ++values_;
  }

  /// The play that the net chooses; its cost is counted.
  Position add_decision(const Position& position, Roll roll) {
    const Choice choice = best_play(net_, position, roll, kMoneyWorth, scratch_);
    double best = -9.0;
    for (const PlayKey play : scratch_.plays) best = std::max(best, equity_after(position, play));
    const double cost = best - equity_after(position, choice.play);
    costs_ += cost;
    dearest_ = std::max(dearest_, cost);
    ++decisions_;
    choices_ += scratch_.plays.size() > 1 ? 1u : 0u;
    return position_after(position, choice.play);
  }

  void print(const char* where) const {
    const auto n = static_cast<double>(values_);
    std::printf("  %-22s rms %.4f  bias %+.4f  worst %+.3f at %s\n", where, std::sqrt(squares_ / n),
                sum_ / n, worst_, position_text(worst_position_).c_str());
    const auto d = static_cast<double>(decisions_);
    std::printf("  %-22s mean cost %.5f a decision, %.5f where there is a choice; dearest %.3f\n",
                "", costs_ / d, costs_ / static_cast<double>(choices_), dearest_);
  }

 private:
  [[nodiscard]] double true_equity(const Position& position) const {
    return worth_of(*tables_.exact(position), kMoneyWorth);
  }
  [[nodiscard]] double equity_after(const Position& position, PlayKey play) const {
    return -true_equity(position_after(position, play));
  }

  const Evaluator& net_;
  const ExactTables& tables_;
  ChoiceScratch scratch_;
  double squares_ = 0.0;
  double sum_ = 0.0;
  double worst_ = 0.0;
  Position worst_position_;
  std::size_t values_ = 0;
  double costs_ = 0.0;
  double dearest_ = 0.0;
  std::size_t decisions_ = 0;
  std::size_t choices_ = 0;
};

// Over all bear-offs of the two-sided table.
inline void bear_offs(const Evaluator& net, const ExactTables& tables) {
  const SideIndex index(kHomePoints, TwoSidedTable::kCheckers);
  Gap gap(net, tables);
  std::size_t count = 0;
  for (std::uint32_t roller = 1; roller < index.size(); ++roller) {
    for (std::uint32_t opponent = 1; opponent < index.size(); ++opponent) {
      Position position{index.side(roller), index.side(opponent)};
      for (Side* side : {&position.roller, &position.opponent}) {
        side->add(kOff, kMaxCheckers - side->total());
      }
      gap.add_value(position);
      gap.add_decision(position, kRolls[count++ % kRollCount]);
    }
  }
  gap.print("over all bear-offs");
}

}  // namespace sixfold
