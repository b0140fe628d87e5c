#include "equity/cube_ends.h"

namespace sixfold {
namespace {

/// Outcomes with another chance to win, wins and losses shared as they are; single games where none
/// of them happens.
OutcomeDistribution with_chance(const OutcomeDistribution& outcomes, double chance) noexcept {
  OutcomeDistribution moved;
  const auto share = [&](std::size_t first, Outcome single, double all) {
    const double total = outcomes[first] + outcomes[first + 1] + outcomes[first + 2];
    if (total <= 0.0) {
      moved[static_cast<std::size_t>(single)] = all;
      return;
    }
    for (std::size_t o = first; o < first + kOutcomeCount / 2; ++o) {
      moved[o] = all * outcomes[o] / total;
    }
  };
  share(0, Outcome::kLoseSingle, 1.0 - chance);
  share(kOutcomeCount / 2, Outcome::kWinSingle, chance);
  return moved;
}

}  // namespace

CubeEnds::CubeEnds(const CubeLines& lines, const OutcomeDistribution& outcomes) noexcept
    : lines_(lines) {
  for (std::size_t k = 0; k < lines.levels(); ++k) {
    const WorthLine& line = lines.line(k);
    replaced_[k] = {with_chance(outcomes, line.chance[1]), with_chance(outcomes, line.chance[2])};
  }
}

void CubeEnds::add_to(CubeResults& results, double weight, const OutcomeDistribution& outcomes,
                      std::size_t turns) const noexcept {
  const CubeDecision decision = lines_.decide(outcomes);
  if (decision.action == CubeAction::kDoublePass) {
    results.at[turns][kPassWon] += weight;
    return;
  }
  std::size_t doublings = 0;
  if (decision.action == CubeAction::kDoubleTake) doublings = decision.is_beavered ? 2 : 1;
  auto& ends = results.at[turns + doublings];
  const WorthLine::Passes passes = lines_.line(doublings).passes(outcomes.win_probability());
  const auto& [lost, won] = replaced_[doublings];
  for (std::size_t o = 0; o < kOutcomeCount; ++o) {
    ends[o] += weight * (outcomes[o] - passes.lost * lost[o] - passes.won * won[o]);
  }
  ends[kPassLost] += weight * passes.lost;
  ends[kPassWon] += weight * passes.won;
}

}  // namespace sixfold
