#include "evaluator/kernels.h"

#include <algorithm>
#include <array>
#include <bit>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdint>
#include <numeric>
#include <random>
#include <set>
#include <string>
#include <vector>

#include "base/input_error.h"
#include "evaluator/evaluator.h"
#include "evaluator/network_fixtures.h"
#include "evaluator/quantised_network.h"
#include "oracles/plays_oracle.h"
#include "oracles/random_positions.h"
#include "rules/game_result.h"
#include "rules/notation.h"
#include "rules/plays.h"
#include "rules/start.h"

namespace sixfold {
namespace {

std::string name_of(InstructionSet level) {
  return std::string(kInstructionSetNames[static_cast<std::size_t>(level)]);
}

bool same_bits(const OutcomeDistribution& a, const OutcomeDistribution& b) {
  using Bits = std::array<std::uint64_t, kOutcomeCount>;
  return std::bit_cast<Bits>(a.probability) == std::bit_cast<Bits>(b.probability);
}

/// A parent with the plays of one of its rolls, and what they lead to.
struct Family {
  Position parent;
  Roll roll;
  PlayList plays;

  [[nodiscard]] Position child(std::size_t i) const { return position_after(parent, plays[i]); }
  [[nodiscard]] std::string text() const {
    return position_text(parent) + ", roll " + roll_text(roll);
  }
};

std::vector<OutcomeDistribution> children_of(const Evaluator& evaluator, const Family& family) {
  std::vector<OutcomeDistribution> outcomes(family.plays.size());
  evaluator.evaluate_children(family.parent, family.plays.span(), outcomes);
  return outcomes;
}

/// Calls visit(family) for all rolls of `count` positions: one where some plays end the contact and
/// others keep it, then random ones of games of all sizes.
template <typename Visit>
void for_each_family(std::uint64_t seed, int count, Visit visit) {
  std::mt19937_64 random(seed);
  Family family;
  for (int i = 0; i < count; ++i) {
    family.parent = i == 0 ? parse_position("14 6x7 5x7 / 12 6x7 5x7")
                           : oracle::random_position(random, i % 2 == 0 ? 15 : i / 2 % 15 + 1);
    for (const Roll roll : kRolls) {
      family.roll = roll;
      generate_plays(family.parent, roll, family.plays);
      visit(family);
    }
  }
}

/// Networks of several widths and scales, from wide ranges of the accumulators to narrow ones.
Networks pair_of(int contact_hidden, int race_hidden, float scale) {
  return {modest_network(contact_hidden, 1, scale), modest_network(race_hidden, 2, scale)};
}

Networks generated_pair() {
  const auto [contact_hidden, race_hidden, scale] = GENERATE(table<int, int, float>(
      {{64, 1024, 1.0f}, {192, 64, 0.01f}, {256, 128, 4.0f}, {1024, 320, 20.0f}}));
  const bool has_all = GENERATE(true, false);
  Networks networks = pair_of(contact_hidden, race_hidden, scale);
  if (has_all) {
    networks.mutual = modest_network(128, 3, scale);
    networks.behind = modest_network(192, 4, scale);
    networks.mutual_bar = modest_network(64, 5, scale);
    networks.behind_bar = modest_network(320, 6, scale);
  }
  return networks;
}

/// All hidden units at the end of their range, all second weights as large as can be: the largest
/// products and sums that the second layer can meet.
Networks saturated_pair(float second_weight) {
  Networks networks = pair_of(256, 1024, 1.0f);
  for (Network* const network : {&networks.contact, &networks.race}) {
    std::fill(network->first_bias.begin(), network->first_bias.end(), 50.0f);
    std::fill(network->second_weights.begin(), network->second_weights.end(), second_weight);
    std::fill(network->second_bias.begin(), network->second_bias.end(), 0.0f);
    for (float& weight : network->head_weights) weight *= 0.01f;
  }
  return networks;
}

Row random_row(std::mt19937_64& random) { return static_cast<Row>(random() % kRowCount); }

/// The sums of the first `hidden` units, modulo 2^16.
std::vector<std::uint16_t> used_sums(const Accumulator& accumulator, std::size_t hidden) {
  std::vector<std::uint16_t> sums(hidden);
  for (std::size_t h = 0; h < hidden; ++h) {
    sums[h] = static_cast<std::uint16_t>(accumulator.sums[h]);
  }
  return sums;
}

void require_levels_agree(const Networks& networks, int positions) {
  const NetworkEvaluator reference(networks, InstructionSet::kScalar);
  for (const InstructionSet level : available_levels()) {
    const NetworkEvaluator evaluator(networks, level);
    REQUIRE(kernels_for(level).level == level);
    for_each_family(3, positions, [&](const Family& family) {
      const auto expected = children_of(reference, family);
      const auto found = children_of(evaluator, family);
      bool same = same_bits(evaluator.evaluate(family.parent), reference.evaluate(family.parent));
      for (std::size_t i = 0; i < found.size(); ++i)
        same = same && same_bits(found[i], expected[i]);
      if (!same) FAIL(name_of(level) << " differs: " << family.text());
    });
  }
}

}  // namespace

TEST_CASE("all instruction sets give the same outcomes to the bit") {
  require_levels_agree(generated_pair(), 24);
  if (available_levels().size() < 3) WARN("some instruction sets are absent from this machine");
}

TEST_CASE("all instruction sets agree where hidden units and weights are at their ends") {
  const float second_weight = GENERATE(2.0f, -2.0f);
  const Networks networks = saturated_pair(second_weight);
  require_levels_agree(networks, 4);
  const NetworkEvaluator evaluator(networks);
  std::mt19937_64 random(4);
  for (int i = 0; i < 100; ++i) {
    const Position position = oracle::random_position(random, 15);
    const OutcomeDistribution found = evaluator.evaluate(position);
    const OutcomeDistribution expected = plain_forward(networks, position);
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      CHECK(found[o] == Approx(expected[o]).margin(1e-4));
    }
  }
}

TEST_CASE("children evaluated from their parent equal the same positions evaluated afresh") {
  const Networks networks = generated_pair();
  std::set<Phase> seen;
  std::size_t mixed_families = 0;
  std::size_t large_families = 0;
  for (const InstructionSet level : available_levels()) {
    const NetworkEvaluator evaluator(networks, level);
    for_each_family(5, 24, [&](const Family& family) {
      const auto found = children_of(evaluator, family);
      std::set<Phase> phases;
      for (std::size_t i = 0; i < found.size(); ++i) {
        const Position child = family.child(i);
        if (!game_over(child)) phases.insert(phase_of(child));
        if (same_bits(found[i], reversed(evaluator.evaluate(child)))) continue;
        FAIL(name_of(level) << ": " << family.text() << ", child " << position_text(child));
      }
      mixed_families += phases.size() > 1 ? 1u : 0u;
      seen.insert(phases.begin(), phases.end());
      large_families += found.size() > 2 * kBatchChildren ? 1u : 0u;
    });
  }
  CHECK(seen.size() == kPhaseCount);
  CHECK(mixed_families > 0);
  CHECK(large_families > 0);
}

TEST_CASE("a position is judged by the network of its phase, or of the wider one that is there") {
  const auto [text, phase] = GENERATE(
      table<std::string, Phase>({{"24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5", Phase::kMutual},
                                 {"bar 13x5 8x3 5x6 / 19 13x6 8x3 6x5", Phase::kMutualBar},
                                 {"24x2 13x5 8x3 6x5 / 18x2 13x5 8x3 6x5", Phase::kBehind},
                                 {"bar 13x6 8x3 6x5 / 18x2 13x5 8x3 6x5", Phase::kBehindBar},
                                 {"24x2 13x5 8x3 6x5 / bar 13x6 8x3 6x5", Phase::kMutual},
                                 {"18x2 13x5 8x3 6x5 / bar 13x6 8x3 6x5", Phase::kContact},
                                 {"18x2 13x5 8x3 6x5 / 18x2 13x5 8x3 6x5", Phase::kContact},
                                 {"6x8 5x7 / 18 6x7 5x7", Phase::kRace}}));
  INFO(text);
  const Position position = parse_position(text, 15);
  CHECK(phase_of(position) == phase);
  Networks networks = pair_of(64, 64, 1.0f);
  const auto value_by = [&](const Network& network) {
    return NetworkEvaluator({network, network}).evaluate(position);
  };
  const Network& without = phase == Phase::kRace ? networks.race : networks.contact;
  CHECK(NetworkEvaluator(networks).evaluate(position) == value_by(without));
  networks.mutual = modest_network(128, 3);
  networks.behind = modest_network(64, 4);
  const bool is_mutual = phase == Phase::kMutual || phase == Phase::kMutualBar;
  const bool is_behind = phase == Phase::kBehind || phase == Phase::kBehindBar;
  const Network& among_three = is_mutual ? networks.mutual : is_behind ? networks.behind : without;
  CHECK(NetworkEvaluator(networks).evaluate(position) == value_by(among_three));
  networks.mutual_bar = modest_network(64, 5);
  networks.behind_bar = modest_network(64, 6);
  const Network& among_five = phase == Phase::kMutualBar   ? networks.mutual_bar
                              : phase == Phase::kBehindBar ? networks.behind_bar
                                                           : among_three;
  CHECK(NetworkEvaluator(networks).evaluate(position) == value_by(among_five));
}

TEST_CASE("accumulators are the base with rows added and removed, modulo 2^16") {
  const int hidden = GENERATE(64, 192, 1024);
  const QuantisedNetwork network(modest_network(hidden, 10), "contact");
  const KernelWeights& weights = network.weights();
  REQUIRE(weights.first.width == static_cast<std::size_t>(hidden));
  std::mt19937_64 random(11);
  for (int i = 0; i < 50; ++i) {
    RowChanges changes;
    const std::size_t removed = random() % 8;
    const std::size_t added = random() % RowList::kCapacity;
    for (std::size_t r = 0; r < removed; ++r) changes.removed.push(random_row(random));
    for (std::size_t r = 0; r < added; ++r) changes.added.push(random_row(random));
    std::vector<std::uint16_t> expected(weights.first.width);
    for (std::size_t h = 0; h < weights.first.width; ++h) {
      int sum = network.empty().sums[h];
      for (const Row row : changes.added) sum += weights.first.rows[row * weights.first.width + h];
      for (const Row row : changes.removed)
        sum -= weights.first.rows[row * weights.first.width + h];
      expected[h] = static_cast<std::uint16_t>(sum);
    }
    for (const InstructionSet level : available_levels()) {
      const Kernels& kernels = kernels_for(level);
      Accumulator apart{};
      kernels.accumulate(weights.first, network.empty(), changes, apart);
      Accumulator in_place = network.empty();
      kernels.accumulate(weights.first, in_place, changes, in_place);
      INFO(name_of(level));
      CHECK(used_sums(apart, weights.first.width) == expected);
      CHECK(used_sums(in_place, weights.first.width) == expected);
    }
  }
}

TEST_CASE("a child's outcomes do not depend on its company or its place") {
  const NetworkEvaluator evaluator(pair_of(128, 64, 1.0f));
  std::mt19937_64 random(6);
  for_each_family(7, 24, [&](const Family& family) {
    const auto all = children_of(evaluator, family);
    std::vector<std::size_t> order(all.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::shuffle(order.begin(), order.end(), random);
    order.resize(1 + random() % order.size());
    std::vector<PlayKey> some;
    for (const std::size_t i : order) some.push_back(family.plays[i]);
    std::vector<OutcomeDistribution> found(some.size());
    evaluator.evaluate_children(family.parent, some, found);
    for (std::size_t i = 0; i < found.size(); ++i) {
      if (!same_bits(found[i], all[order[i]])) FAIL(family.text());
    }
  });
}

TEST_CASE("outcomes sum to 1, and those that the rules exclude are exactly zero") {
  const NetworkEvaluator evaluator(generated_pair());
  std::size_t excluded = 0;
  for_each_family(8, 40, [&](const Family& family) {
    const auto found = children_of(evaluator, family);
    for (std::size_t i = 0; i < found.size(); ++i) {
      const Position child = family.child(i);
      const OutcomeDistribution seen_by_child = reversed(found[i]);
      double sum = 0.0;
      bool sound = true;
      for (std::size_t o = 0; o < kOutcomeCount; ++o) {
        const bool possible = (possible_outcomes(child) >> o & 1u) != 0;
        sound = sound && (possible ? seen_by_child[o] > 0.0 : seen_by_child[o] == 0.0);
        sum += seen_by_child[o];
        excluded += possible ? 0u : 1u;
      }
      if (!sound || !(std::abs(sum - 1.0) < 1e-6)) {
        FAIL(family.text() << ", child " << position_text(child) << ", sum " << sum);
      }
    }
  });
  CHECK(excluded > 1000);
}

TEST_CASE("outcomes are the softmax of their logits to single precision") {
  const double range = GENERATE(1.0, 8.0, 40.0);
  std::mt19937_64 random(12);
  for (int i = 0; i < 60; ++i) {
    Networks networks{zero_network(64), zero_network(64)};
    for (float& bias : networks.contact.head_bias) {
      // Multiples of 1/64, so that their differences are exact in floats.
      const int step = static_cast<int>(random() % 129) - 64;
      bias = static_cast<float>(std::round(range * step) / 64.0);
    }
    const OutcomeDistribution expected = plain_forward(networks, start_position());
    for (const InstructionSet level : available_levels()) {
      const OutcomeDistribution found =
          NetworkEvaluator(networks, level).evaluate(start_position());
      for (std::size_t o = 0; o < kOutcomeCount; ++o) {
        CHECK(found[o] == Approx(expected[o]).epsilon(1e-6).margin(0.0));
      }
    }
  }
}

TEST_CASE("finished games have their outcome with certainty") {
  const NetworkEvaluator evaluator(pair_of(64, 64, 1.0f));
  std::array<std::size_t, kOutcomeCount> met{};
  std::size_t wrong = 0;
  for_each_family(9, 3000, [&](const Family& family) {
    if (family.parent.roller.total() - family.parent.roller.borne_off() > 4) return;
    const auto found = children_of(evaluator, family);
    for (std::size_t i = 0; i < found.size(); ++i) {
      const Position child = family.child(i);
      const auto outcome = oracle::outcome(child);
      if (!outcome) continue;
      wrong += evaluator.evaluate(child) == certain(*outcome) ? 0u : 1u;
      wrong += found[i] == certain(reversed(*outcome)) ? 0u : 1u;
      ++met[static_cast<std::size_t>(reversed(*outcome))];
    }
  });
  CHECK(wrong == 0);
  CHECK(met[static_cast<std::size_t>(Outcome::kWinSingle)] > 100);
  CHECK(met[static_cast<std::size_t>(Outcome::kWinGammon)] > 10);
  CHECK(met[static_cast<std::size_t>(Outcome::kWinBackgammon)] > 10);
}

TEST_CASE("instruction sets are found by their names") {
  std::string present;
  for (const InstructionSet level : available_levels()) {
    CHECK(instruction_set_named(name_of(level)) == level);
    CHECK(kernels_for(level).level == level);
    present += (present.empty() ? "" : ", ") + name_of(level);
  }
  CHECK(best_instruction_set() == available_levels().back());
  for (const std::string name : {"", "avx", "AVX2", "scalar ", "sse2"}) {
    INFO(name);
    try {
      (void)instruction_set_named(name);
      FAIL("accepted");
    } catch (const InputError& error) {
      CHECK(error.expected() == present);
      CHECK_THAT(error.what(), Catch::Contains("'" + name + "'"));
    }
  }
}

TEST_CASE("instruction sets that the machine lacks are refused by name") {
  for (std::size_t i = 0; i < kInstructionSetNames.size(); ++i) {
    if (is_available(static_cast<InstructionSet>(i))) continue;
    CHECK_THROWS_AS(instruction_set_named(kInstructionSetNames[i]), InputError);
  }
  CHECK(is_available(InstructionSet::kScalar));
}

}  // namespace sixfold
