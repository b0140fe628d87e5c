#include "equity/cube_ends.h"

namespace sixfold {
CubeEnds::CubeEnds(const CubeLines& lines, const OutcomeDistribution& outcomes) noexcept
    : lines_(lines) {
  const OutcomeShares shares(outcomes);
  for (std::size_t k = 0; k < lines.levels(); ++k) {
    const WorthLine& line = lines.line(k);
    replaced_[k] = {shares.at(line.chance[1]), shares.at(line.chance[2])};
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
