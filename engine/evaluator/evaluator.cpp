#include "evaluator/evaluator.h"

#include <algorithm>
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

CubeLives member(const BatchLives& batch, std::size_t child) noexcept {
  const auto life = [&](std::size_t l) { return static_cast<double>(batch.life[l][child]); };
  return {life(0), life(1), life(2), life(3)};
}

/// Sums of rounded numbers may leave shares of tables just below 0, and others above 1.
OutcomeDistribution within_bounds(OutcomeDistribution outcomes) noexcept {
  double sum = 0.0;
  bool is_within = true;
  for (const double share : outcomes.probability) {
    is_within = is_within && share >= 0.0 && share <= 1.0;
    sum += std::max(share, 0.0);
  }
  if (is_within) return outcomes;
  for (double& share : outcomes.probability) share = std::max(share, 0.0) / sum;
  return outcomes;
}

/// How a batch is evaluated, and where what the players of the plays see of it goes.
class WithoutCube {
 public:
  explicit WithoutCube(std::span<OutcomeDistribution> outcomes) noexcept : outcomes_(outcomes) {}
  void forward(const Kernels& kernels, const QuantisedNetwork& network, const Accumulator& base,
               std::span<const ChildInput> inputs) noexcept {
    kernels.forward(network.weights(), base, inputs, batch_);
  }
  void put(std::size_t place, std::size_t child) const noexcept {
    outcomes_[place] = reversed(member(batch_, child));
  }

 private:
  std::span<OutcomeDistribution> outcomes_;
  BatchOutcomes batch_;
};

class WithCube {
 public:
  explicit WithCube(std::span<Outlook> outlooks) noexcept : outlooks_(outlooks) {}
  void forward(const Kernels& kernels, const QuantisedNetwork& network, const Accumulator& base,
               std::span<const ChildInput> inputs) noexcept {
    kernels.forward_with_cube(network.weights(), base, inputs, batch_, lives_);
  }
  void put(std::size_t place, std::size_t child) const noexcept {
    outlooks_[place] = reversed(Outlook{member(batch_, child), member(lives_, child)});
  }

 private:
  std::span<Outlook> outlooks_;
  BatchOutcomes batch_;
  BatchLives lives_;
};

/// The children of one parent that one network evaluates, worked off in batches.
template <typename Results>
class ChildBatches {
 public:
  ChildBatches(const Kernels& kernels, const QuantisedNetwork& network,
               const RowDifference& difference, const RowList& base_rows,
               const Results& results) noexcept
      : kernels_(kernels),
        network_(network),
        difference_(difference),
        base_rows_(base_rows),
        results_(results) {}

  /// `place` is where its results belong.
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
    results_.forward(kernels_, network_, base_, std::span(inputs_).first(size_));
    for (std::size_t c = 0; c < size_; ++c) results_.put(places_[c], c);
    size_ = 0;
  }

 private:
  const Kernels& kernels_;
  const QuantisedNetwork& network_;
  const RowDifference& difference_;
  const RowList& base_rows_;
  Results results_;
  Accumulator base_;
  bool base_ready_ = false;
  std::size_t size_ = 0;
  std::array<std::size_t, kBatchChildren> places_;
  std::array<ChildInput, kBatchChildren> inputs_;
};

ChildInput alone(const Position& position) noexcept {
  ChildInput input;
  input.changes.added = active_rows(position);
  input.possible = possible_outcomes(position);
  return input;
}

}  // namespace

Outlook Evaluator::evaluate_with_cube(const Position& position) const noexcept {
  return {evaluate(position), game_over(position) ? CubeLives{} : mean_lives(is_race(position))};
}

void Evaluator::evaluate_children_with_cube(const Position& parent, std::span<const PlayKey> plays,
                                            std::span<Outlook> outlooks) const noexcept {
  std::vector<OutcomeDistribution> outcomes(plays.size());
  evaluate_children(parent, plays, outcomes);
  for (std::size_t i = 0; i < plays.size(); ++i) {
    const Position after = position_after(parent, plays[i]);
    outlooks[i] = {outcomes[i], game_over(after) ? CubeLives{} : mean_lives(is_race(after))};
  }
}

NetworkEvaluator::NetworkEvaluator(const Networks& networks, InstructionSet level,
                                   ExactTables tables, const CubeHeads& cube)
    : kernels_(kernels_for(level)), tables_(std::move(tables)), knows_lives_(!cube.empty()) {
  assert(cube.empty() || cube.size() == networks.phases());
  networks_.reserve(networks.phases());
  for_each_network(networks, [&](const char* name, const Network& network) {
    networks_.emplace_back(network, name, knows_lives_ ? &cube[networks_.size()] : nullptr);
  });
}

Method NetworkEvaluator::method(const Position& position) const noexcept {
  if (known(position)) return Method::kExact;
  return tables_.race(position) ? Method::kRaceTable : Method::kNetwork;
}

OutcomeDistribution NetworkEvaluator::evaluate(const Position& position) const noexcept {
  if (const auto value = from_tables(position)) return within_bounds(*value);
  const QuantisedNetwork& network = networks_[place_for(phase_of(position))];
  const ChildInput input = alone(position);
  BatchOutcomes batch;
  kernels_.forward(network.weights(), network.empty(), std::span(&input, 1), batch);
  return member(batch, 0);
}

Outlook NetworkEvaluator::evaluate_with_cube(const Position& position) const noexcept {
  if (!knows_lives_ || game_over(position)) return Evaluator::evaluate_with_cube(position);
  const QuantisedNetwork& network = networks_[place_for(phase_of(position))];
  const ChildInput input = alone(position);
  BatchOutcomes batch;
  BatchLives lives;
  kernels_.forward_with_cube(network.weights(), network.empty(), std::span(&input, 1), batch,
                             lives);
  return {within_bounds(from_tables(position).value_or(member(batch, 0))), member(lives, 0)};
}

template <typename Results, typename Use>
void NetworkEvaluator::for_children(const Position& parent, std::span<const PlayKey> plays,
                                    const Results& results, Use of_child) const noexcept {
  // Children are seen by the next player, so they differ little from the parent with sides swapped.
  const Position base = swapped(parent);
  const RowDifference difference(base);
  const RowList base_rows = active_rows(base);
  const auto batches_of = [&](Phase phase) {
    return ChildBatches<Results>(kernels_, networks_[place_for(phase)], difference, base_rows,
                                 results);
  };
  // Not a list of optionals, which would be filled with zeros for every parent.
  std::array<ChildBatches<Results>, kPhaseCount> batches{
      batches_of(Phase::kContact), batches_of(Phase::kRace),      batches_of(Phase::kMutual),
      batches_of(Phase::kBehind),  batches_of(Phase::kMutualBar), batches_of(Phase::kBehindBar)};
  for (std::size_t i = 0; i < plays.size(); ++i) {
    const Position child = position_after(parent, plays[i]);
    if (of_child(i, child)) batches[place_for(phase_of(child))].add(child, i);
  }
  for (ChildBatches<Results>& of_network : batches) of_network.finish();
}

void NetworkEvaluator::evaluate_children(const Position& parent, std::span<const PlayKey> plays,
                                         std::span<OutcomeDistribution> outcomes) const noexcept {
  assert(plays.size() == outcomes.size());
  for_children(parent, plays, WithoutCube(outcomes), [&](std::size_t i, const Position& child) {
    const auto value = from_tables(child);
    if (value) outcomes[i] = reversed(within_bounds(*value));
    return !value;
  });
}

void NetworkEvaluator::evaluate_children_with_cube(const Position& parent,
                                                   std::span<const PlayKey> plays,
                                                   std::span<Outlook> outlooks) const noexcept {
  assert(plays.size() == outlooks.size());
  if (!knows_lives_) return Evaluator::evaluate_children_with_cube(parent, plays, outlooks);
  // Tables know the outcomes, the networks how alive the cube is.
  std::vector<std::pair<std::size_t, OutcomeDistribution>> known;
  for_children(parent, plays, WithCube(outlooks), [&](std::size_t i, const Position& child) {
    if (const auto result = game_result(child)) {
      outlooks[i] = {reversed(certain(*result)), {}};
      return false;
    }
    if (const auto value = from_tables(child))
      known.emplace_back(i, reversed(within_bounds(*value)));
    return true;
  });
  for (const auto& [place, outcomes] : known) outlooks[place].outcomes = outcomes;
}

}  // namespace sixfold
