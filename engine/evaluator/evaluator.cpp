#include "evaluator/evaluator.h"

#include <cassert>
#include <utility>

#include "rules/game_result.h"

namespace sixfold {
namespace {

OutcomeDistribution member(const BatchOutcomes& batch, std::size_t child) noexcept {
  OutcomeDistribution distribution;
  for (std::size_t o = 0; o < kOutcomeCount; ++o) {
    distribution[o] = static_cast<double>(batch.probability[o][child]);
  }
  return distribution;
}

/// The children of one parent that one network evaluates, worked off in batches.
class ChildBatches {
 public:
  ChildBatches(const Kernels& kernels, const QuantisedNetwork& network,
               const RowDifference& difference, const RowList& base_rows,
               std::span<OutcomeDistribution> outcomes) noexcept
      : kernels_(kernels),
        network_(network),
        difference_(difference),
        base_rows_(base_rows),
        outcomes_(outcomes) {}

  /// `place` is where its outcomes belong.
  void add(const Position& child, std::size_t place) noexcept {
    inputs_[size_].changes = difference_.to(child);
    inputs_[size_].possible = possible_outcomes(child);
    places_[size_] = place;
    if (++size_ == kBatchChildren) finish();
  }

  /// Evaluates what has been added since the last batch.
  void finish() noexcept {
    if (size_ == 0) return;
    if (!base_ready_) {
      RowChanges all;
      all.added = base_rows_;
      kernels_.accumulate(network_.weights().first, network_.empty(), all, base_);
      base_ready_ = true;
    }
    BatchOutcomes batch;
    kernels_.forward(network_.weights(), base_, std::span(inputs_).first(size_), batch);
    for (std::size_t c = 0; c < size_; ++c) outcomes_[places_[c]] = reversed(member(batch, c));
    size_ = 0;
  }

 private:
  const Kernels& kernels_;
  const QuantisedNetwork& network_;
  const RowDifference& difference_;
  const RowList& base_rows_;
  std::span<OutcomeDistribution> outcomes_;
  Accumulator base_;
  bool base_ready_ = false;
  std::size_t size_ = 0;
  std::array<std::size_t, kBatchChildren> places_;
  std::array<ChildInput, kBatchChildren> inputs_;
};

}  // namespace

NetworkEvaluator::NetworkEvaluator(const Networks& networks, InstructionSet level,
                                   ExactTables tables)
    : kernels_(kernels_for(level)), tables_(std::move(tables)) {
  networks_.reserve(networks.phases());
  for_each_network(networks, [&](const char* name, const Network& network) {
    networks_.emplace_back(network, name);
  });
}

Method NetworkEvaluator::method(const Position& position) const noexcept {
  if (known(position)) return Method::kExact;
  return tables_.race(position) ? Method::kRaceTable : Method::kNetwork;
}

OutcomeDistribution NetworkEvaluator::evaluate(const Position& position) const noexcept {
  if (const auto value = from_tables(position)) return *value;
  const QuantisedNetwork& network = networks_[place_for(phase_of(position))];
  ChildInput input;
  input.changes.added = active_rows(position);
  input.possible = possible_outcomes(position);
  BatchOutcomes batch;
  kernels_.forward(network.weights(), network.empty(), std::span(&input, 1), batch);
  return member(batch, 0);
}

void NetworkEvaluator::evaluate_children(const Position& parent, std::span<const PlayKey> plays,
                                         std::span<OutcomeDistribution> outcomes) const noexcept {
  assert(plays.size() == outcomes.size());
  // Children are seen by the next player, so they differ little from the parent with sides swapped.
  const Position base = swapped(parent);
  const RowDifference difference(base);
  const RowList base_rows = active_rows(base);
  const auto batches_of = [&](Phase phase) {
    return ChildBatches(kernels_, networks_[place_for(phase)], difference, base_rows, outcomes);
  };
  // Not a list of optionals, which would be filled with zeros for every parent.
  std::array<ChildBatches, kPhaseCount> batches{
      batches_of(Phase::kContact), batches_of(Phase::kRace),      batches_of(Phase::kMutual),
      batches_of(Phase::kBehind),  batches_of(Phase::kMutualBar), batches_of(Phase::kBehindBar)};
  for (std::size_t i = 0; i < plays.size(); ++i) {
    const Position child = position_after(parent, plays[i]);
    if (const auto value = from_tables(child)) {
      outcomes[i] = reversed(*value);
    } else {
      batches[place_for(phase_of(child))].add(child, i);
    }
  }
  for (ChildBatches& of_network : batches) of_network.finish();
}

}  // namespace sixfold
