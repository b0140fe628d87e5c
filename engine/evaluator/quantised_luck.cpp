#include "evaluator/quantised_luck.h"

#include <algorithm>
#include <cassert>
#include <string>

#include "evaluator/quantised_network.h"
#include "rules/game_result.h"

namespace sixfold {
namespace {

const LuckNetwork& checked(const LuckNetwork& network, const char* name) {
  for_each_luck_array(
      network, [&](const char* array, const std::vector<float>& values, std::size_t, std::size_t) {
        require_finite(values, std::string(name) + " luck network's " + array);
      });
  return network;
}

/// For each roll unit the largest magnitude that a roll's facts can add up to; hidden units have
/// none.
FurtherTerms reach_of_facts(const LuckNetwork& network) {
  const auto units = static_cast<std::size_t>(network.units);
  FurtherTerms further{std::vector<float>(network.width(), 0.0f), 0};
  for (const Roll roll : kRolls) {
    int most = 0;
    std::vector<float> above(units, 0.0f);
    std::vector<float> below(units, 0.0f);
    for (const FactSlots& slots : slots_of_roll(roll)) {
      most += slots.count;
      for (int slot = 0; slot < slots.count; ++slot) {
        std::vector<float> highest(units, 0.0f);
        std::vector<float> lowest(units, 0.0f);
        for (int i = 0; i < slots.size; ++i) {
          const int fact = slots.first + slot * slots.size + i;
          const float* const weights =
              network.facts.data() + static_cast<std::size_t>(fact) * units;
          for (std::size_t u = 0; u < units; ++u) {
            highest[u] = std::max(highest[u], weights[u]);
            lowest[u] = std::min(lowest[u], weights[u]);
          }
        }
        for (std::size_t u = 0; u < units; ++u) {
          above[u] += highest[u];
          below[u] -= lowest[u];
        }
      }
    }
    further.most = std::max(further.most, most);
    for (std::size_t u = 0; u < units; ++u) {
      further.reach[u] = std::max({further.reach[u], above[u], below[u]});
    }
  }
  return further;
}

/// U x kHeadWidth: each unit's outcomes less their mean, since luck only moves chances from one
/// outcome to another; in units of 36 * 127.
AlignedArray<float> balanced(const LuckNetwork& network) {
  AlignedArray<float> rows = wide_rows(network.outcomes, 0);
  for (std::size_t u = 0; u < static_cast<std::size_t>(network.units); ++u) {
    float* const row = rows.data() + u * kHeadWidth;
    float mean = 0.0f;
    for (std::size_t o = 0; o < kOutcomeCount; ++o) mean += row[o] / kOutcomeCount;
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      row[o] = (row[o] - mean) / (kDiceOutcomes * kActivationScale);
    }
  }
  return rows;
}

/// Luck in outcomes that the rules exclude goes to the next smaller win or loss; that in single
/// games, which games of one checker a side exclude, to gammons.
void fold(OutcomeDistribution& luck, unsigned possible) {
  const auto move = [&](Outcome from, Outcome to) {
    const auto place = static_cast<std::size_t>(from);
    if ((possible >> place & 1u) != 0) return;
    luck[static_cast<std::size_t>(to)] += luck[place];
    luck[place] = 0.0;
  };
  move(Outcome::kLoseBackgammon, Outcome::kLoseGammon);
  move(Outcome::kWinBackgammon, Outcome::kWinGammon);
  move(Outcome::kLoseSingle, Outcome::kLoseGammon);
  move(Outcome::kWinSingle, Outcome::kWinGammon);
  move(Outcome::kLoseGammon, Outcome::kLoseSingle);
  move(Outcome::kWinGammon, Outcome::kWinSingle);
}

}  // namespace

QuantisedLuck::QuantisedLuck(const LuckNetwork& network, const char* name, InstructionSet level)
    : kernels_(kernels_for(level)),
      rows_(checked(network, name).first, network.first_bias, std::string(name) + " luck",
            reach_of_facts(network)),
      empty_(rows_.empty()),
      gates_(quantise_dense(network.gate_weights, static_cast<std::size_t>(network.hidden),
                            static_cast<std::size_t>(network.units))),
      gate_bias_(network.gate_bias),
      facts_(network.facts.size()),
      outcomes_(balanced(network)) {
  const int half = (1 << rows_.table().shift) / 2;
  for (std::size_t u = 0; u < rows_.table().width; ++u) {
    empty_.sums[u] = static_cast<std::int16_t>(empty_.sums[u] + half);
  }
  for (std::size_t i = 0; i < network.facts.size(); ++i) {
    facts_[i] = rows_.quantised(network.facts[i]);
  }
  weights_ = {rows_.table(),       static_cast<std::size_t>(network.units),
              facts_.data(),       gates_.weights.data(),
              gates_.scale.data(), gate_bias_.data(),
              outcomes_.data()};
}

void QuantisedLuck::fill(const Position& position, unsigned chosen,
                         std::span<OutcomeDistribution> luck) const noexcept {
  assert(!game_over(position));
  Accumulator sums;
  RowChanges rows;
  rows.added = active_rows(position);
  kernels_.accumulate(rows_.table(), empty_, rows, sums);
  std::array<HeadValues, kRollCount> values;
  kernels_.luck(weights_, sums, position, chosen, std::span(values).first(luck.size()));
  const unsigned possible = possible_outcomes(position);
  for (std::size_t place = 0; place < luck.size(); ++place) {
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      luck[place][o] = static_cast<double>(values[place].of_outcome[o]);
    }
    fold(luck[place], possible);
  }
}

OutcomeDistribution QuantisedLuck::luck(const Position& position, Roll roll) const noexcept {
  OutcomeDistribution luck;
  fill(position, 1u << roll.index(), {&luck, 1});
  return luck;
}

std::array<OutcomeDistribution, kRollCount> QuantisedLuck::luck_of_rolls(
    const Position& position) const noexcept {
  std::array<OutcomeDistribution, kRollCount> luck;
  fill(position, (1u << kRollCount) - 1, luck);
  return luck;
}

}  // namespace sixfold
