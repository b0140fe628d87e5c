#include "evaluator/evaluator.h"

#include "rules/game_result.h"

namespace sixfold {
namespace {

OutcomeDistribution unpadded(const PaddedOutcomes& outcomes) noexcept {
  OutcomeDistribution distribution;
  for (std::size_t i = 0; i < kOutcomeCount; ++i) distribution[i] = outcomes[i];
  return distribution;
}

}  // namespace

NetworkEvaluator::NetworkEvaluator(const NetworkPair& networks, InstructionSet level)
    : kernels_(kernels_for(level)),
      contact_(networks.contact, "contact"),
      race_(networks.race, "race") {}

OutcomeDistribution NetworkEvaluator::evaluate(const Position& position) const noexcept {
  if (const auto result = game_result(position)) return certain(*result);
  const QuantisedNetwork& network = network_for(position);
  RowChanges changes;
  changes.added = active_rows(position);
  alignas(kCacheLine) PaddedOutcomes out;
  kernels_.forward(network.weights(), network.empty(), changes, possible_outcomes(position), out);
  return unpadded(out);
}

void NetworkEvaluator::evaluate_children(const Position& parent, std::span<const PlayKey> plays,
                                         std::span<OutcomeDistribution> outcomes) const noexcept {
  // Children are seen by the next player, so they differ little from the parent with sides swapped.
  const Position base = swapped(parent);
  Accumulator contact_sums;
  Accumulator race_sums;
  bool contact_ready = false;
  bool race_ready = false;
  RowChanges all;
  all.added = active_rows(base);
  const RowDifference difference(base);

  for (std::size_t i = 0; i < plays.size(); ++i) {
    const Position child = position_after(parent, plays[i]);
    if (const auto result = game_result(child)) {
      outcomes[i] = reversed(certain(*result));
      continue;
    }
    const QuantisedNetwork& network = network_for(child);
    const bool race = &network == &race_;
    Accumulator& sums = race ? race_sums : contact_sums;
    bool& ready = race ? race_ready : contact_ready;
    if (!ready) {
      kernels_.accumulate(network.weights(), network.empty(), all, sums);
      ready = true;
    }
    alignas(kCacheLine) PaddedOutcomes out;
    kernels_.forward(network.weights(), sums, difference.to(child), possible_outcomes(child),
                     out);
    outcomes[i] = reversed(unpadded(out));
  }
}

}  // namespace sixfold
