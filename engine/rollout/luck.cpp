#include "rollout/luck.h"

#include <oneapi/tbb/enumerable_thread_specific.h>

#include "rollout/position_memo.h"

namespace sixfold {
namespace {

struct Remembered {
  OutcomeWorth worth{};
  BestPlays plays;
};

}  // namespace

Luck luck_among(const BestPlays& plays, Roll roll) noexcept {
  const Choice& choice = plays.of_roll[static_cast<std::size_t>(roll.index())];
  Luck luck{choice.outcomes, choice.play};
  luck.outcomes -= plays.mean();
  return luck;
}

struct FullControl::Memos {
  explicit Memos(std::size_t places) : of_thread(places) {}
  oneapi::tbb::enumerable_thread_specific<PositionMemo<Remembered>> of_thread;
};

FullControl::FullControl(const Evaluator& evaluator, std::size_t remembered)
    : evaluator_(evaluator),
      memos_(remembered > 0 ? std::make_unique<Memos>(remembered) : nullptr) {}

FullControl::~FullControl() = default;

Luck FullControl::luck(const Position& position, Roll roll, const OutcomeWorth& worth,
                       ChoiceScratch& scratch) const noexcept {
  if (memos_ == nullptr) {
    return luck_among(best_plays(evaluator_, position, worth, scratch), roll);
  }
  Remembered& known = memos_->of_thread.local().at(position);
  if (known.worth != worth) known = {worth, best_plays(evaluator_, position, worth, scratch)};
  return luck_among(known.plays, roll);
}

}  // namespace sixfold
