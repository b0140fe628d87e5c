#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <string>
#include <vector>

#include "base/input_error.h"
#include "encoding/position_fixtures.h"
#include "evaluator/luck_fixtures.h"
#include "evaluator/luck_network.h"
#include "evaluator/quantised_luck.h"
#include "evaluator/quantised_luck_fixtures.h"
#include "evaluator/quantised_rows.h"
#include "rules/game_result.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

std::string refusal_of(const LuckNetwork& network, const char* name) {
  try {
    const QuantisedLuck luck(network, name, best_instruction_set());
  } catch (const InputError& error) {
    return error.what();
  }
  return "accepted";
}

/// Sixteen bits are full when all fifteen checkers are on the bar against a closed home board: the
/// bar's feature reaches 7.5 times `feature_weight`, and each roll's only fact, that of its bar,
/// `fact_weight` for every other roll and as much less for the others. Odd units have the other
/// signs.
LuckNetwork network_of_bar(float feature_weight, float fact_weight) {
  LuckNetwork network = zero_luck_network(64, 64);
  const FactsOfRolls facts =
      facts_of_rolls(parse_position("barx15 / 6x2 5x2 4x2 3x2 2x2 1x2 13x3"));
  for (std::size_t u = 0; u < 64; ++u) {
    const float sign = u % 2 == 0 ? 1.0f : -1.0f;
    network.first[243 * network.width() + u] = sign * feature_weight;
    for (std::size_t r = 0; r < kRollCount; ++r) {
      REQUIRE(facts[r].size() == 1);
      network.facts[facts[r][0] * 64 + u] = r % 2 == 0 ? sign * fact_weight : -sign * fact_weight;
    }
    network.gate_bias[u] = 1.0f;
    network.outcomes[u * kOutcomeCount + 3] = u % 2 == 0 ? 1.0f / 32.0f : 0.0f;
    network.outcomes[u * kOutcomeCount + 2] = u % 2 == 0 ? 0.0f : 1.0f / 32.0f;
  }
  return network;
}

}  // namespace

TEST_CASE("luck weights that are not finite are refused by their array and network") {
  const LuckNetwork sound = modest_luck_network(64, 64, 13);
  CHECK(refusal_of(sound, "race") == "accepted");
  for (const float bad :
       {std::numeric_limits<float>::quiet_NaN(), std::numeric_limits<float>::infinity(),
        -std::numeric_limits<float>::infinity()}) {
    int arrays = 0;
    for_each_luck_array(sound, [&](const char* name, const std::vector<float>&, std::size_t,
                                   std::size_t) {
      LuckNetwork network = sound;
      for_each_luck_array(
          network, [&](const char* other, std::vector<float>& values, std::size_t, std::size_t) {
            if (std::string(name) == other) values.back() = bad;
          });
      CHECK_THAT(refusal_of(network, "race"),
                 Catch::Contains("race luck network's " + std::string(name) + " is not finite"));
      ++arrays;
    });
    CHECK(arrays == 6);
  }
}

TEST_CASE("a luck network whose weights leave no headroom is refused by its name") {
  const LuckNetwork sound = modest_luck_network(64, 64, 14);
  for (const float large : {258.0f, -258.0f, 1e4f, 3e38f}) {
    CAPTURE(large);
    // A roll unit's and a hidden unit's bias, and a fact.
    for (const std::size_t unit : {5u, 64u + 5u}) {
      LuckNetwork network = sound;
      network.first_bias[unit] = large;
      CHECK_THAT(refusal_of(network, "race"),
                 Catch::Contains("race luck network's weights are too large"));
    }
    LuckNetwork network = sound;
    network.facts[100 * 64 + 5] = large;
    CHECK_THAT(refusal_of(network, "contact"),
               Catch::Contains("contact luck network's weights are too large"));
  }
}

TEST_CASE("facts that a roll can't have together don't use up headroom") {
  // A hundred each, all in one slot: only one of them is ever true.
  const Roll roll{3, 1};
  LuckNetwork network = zero_luck_network(64, 64);
  const FactSlots slots = slots_of_roll(roll)[1];
  REQUIRE(slots.size > 1);
  REQUIRE(slots.count > 1);
  for (int i = 0; i < slots.size; ++i) {
    network.facts[static_cast<std::size_t>(slots.first + i) * 64] = 100.0f;
  }
  CHECK(refusal_of(network, "contact") == "accepted");
  for (int i = 0; i < 3 * slots.size; ++i) {
    network.facts[static_cast<std::size_t>(slots.first + i) * 64] = 100.0f;
  }
  CHECK_THAT(refusal_of(network, "contact"), Catch::Contains("too large"));
}

TEST_CASE("no position's integer sums leave sixteen bits or the reach of their unit") {
  const auto [seed, scale] = GENERATE(table<std::uint32_t, float>({{15, 1.0f}, {16, 8.0f}}));
  LuckNetwork network = modest_luck_network(64, 64, seed);
  for (float& weight : network.facts) weight *= scale;
  const FurtherTerms further = further_terms(network);
  const QuantisedRows rows = rows_of(network);
  const std::size_t width = network.width();
  const std::vector<float> first_reach =
      reach_of_units(network.first_bias, baked_rows(network.first, width));
  const float step = 1.0f / (127.0f * static_cast<float>(1 << rows.table().shift));
  CHECK(refusal_of(network, "contact") == "accepted");
  int largest = 0;
  double nearest = 0.0;
  for (const Position& position : many_positions(17, 600, 2)) {
    const FactsOfRolls facts = facts_of_rolls(position);
    std::vector<int> context(rows.empty().sums.begin(),
                             rows.empty().sums.begin() + static_cast<std::ptrdiff_t>(width));
    for (const Row row : active_rows(position)) {
      for (std::size_t h = 0; h < width; ++h) context[h] += rows.table().rows[row * width + h];
    }
    for (std::size_t r = 0; r < kRollCount; ++r) {
      for (std::size_t u = 0; u < width; ++u) {
        int sum = context[u];
        if (u < 64) {
          for (const Fact fact : facts[r]) sum += rows.quantised(network.facts[fact * 64 + u]);
        }
        largest = std::max(largest, std::abs(sum));
        const double reach = static_cast<double>(first_reach[u] + further.reach[u]);
        const double share = static_cast<double>(std::abs(sum)) * static_cast<double>(step) / reach;
        // 200 steps: the rounding of all terms, and that of the shift.
        if (static_cast<double>(std::abs(sum)) * static_cast<double>(step) >
            reach + 200.0 * static_cast<double>(step)) {
          FAIL(position_text(position) << ", roll " << r << ", unit " << u << ": " << share);
        }
        nearest = std::max(nearest, share);
      }
    }
  }
  INFO("nearest " << nearest << ", largest " << largest);
  CHECK(largest <= 32767);
  CHECK(nearest > 0.1);
}

TEST_CASE("a luck network at the limit of its integers keeps its signs") {
  // 7.5 * 17 + 128.5 = 256 of the 256.4 that there is room for.
  const LuckNetwork network = network_of_bar(17.0f, 128.5f);
  REQUIRE(rows_of(network).table().shift == 0);
  const Position position = parse_position("barx15 / 6x2 5x2 4x2 3x2 2x2 1x2 13x3");
  const PlainLuck plain = plain_luck(balanced(network), position);
  for (const InstructionSet level : available_levels()) {
    const OutcomesOfRolls luck = luck_of_rolls(QuantisedLuck(network, "contact", level), position);
    for (std::size_t r = 0; r < kRollCount; ++r) {
      const OutcomeDistribution expected = folded(plain.luck[r], possible_outcomes(position));
      for (std::size_t o = 0; o < kOutcomeCount; ++o) {
        CHECK(luck[r][o] == Approx(expected[o]).margin(0.01));
      }
    }
    CHECK(std::abs(luck[0][3]) > 0.3);
  }
}

TEST_CASE("a luck network just beyond the limit of its integers is refused") {
  CHECK(refusal_of(network_of_bar(17.0f, 128.5f), "contact") == "accepted");
  CHECK_THAT(refusal_of(network_of_bar(17.0f, 129.5f), "contact"), Catch::Contains("too large"));
}

}  // namespace sixfold
