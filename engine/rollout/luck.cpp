#include "rollout/luck.h"

namespace sixfold {

Luck luck_among(const BestPlays& plays, Roll roll) noexcept {
  const Choice& choice = plays.of_roll[static_cast<std::size_t>(roll.index())];
  Luck luck{choice.outcomes, choice.play};
  luck.outcomes -= plays.mean();
  return luck;
}

}  // namespace sixfold
