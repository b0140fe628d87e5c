#include "evaluator/luck_network.h"

#include <algorithm>
#include <array>
#include <bit>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <optional>
#include <random>
#include <string>
#include <vector>

#include "evaluator/luck_fixtures.h"
#include "evaluator/quantised_luck.h"
#include "evaluator/quantised_rows.h"
#include "oracles/random_positions.h"
#include "rules/game_result.h"
#include "rules/input_error.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

using LuckOfRolls = std::array<OutcomeDistribution, kRollCount>;

LuckOfRolls luck_of_rolls(const QuantisedLuck& network, const Position& position) {
  LuckOfRolls luck;
  for (std::size_t r = 0; r < kRollCount; ++r) luck[r] = network.luck(position, kRolls[r]);
  return luck;
}

std::vector<Position> many_positions(std::uint64_t seed, int count, int fewest_checkers = 2) {
  std::mt19937_64 random(seed);
  std::vector<Position> positions;
  for (int i = 0; i < count; ++i) {
    const int few = fewest_checkers + i / 3 % (kMaxCheckers + 1 - fewest_checkers);
    positions.push_back(oracle::random_position(random, i % 3 == 0 ? few : kMaxCheckers));
  }
  return positions;
}

std::vector<double> totals_by_outcome(const LuckOfRolls& luck) {
  std::vector<double> totals(kOutcomeCount, 0.0);
  for (std::size_t r = 0; r < kRollCount; ++r) {
    for (std::size_t o = 0; o < kOutcomeCount; ++o) totals[o] += kRolls[r].weight() * luck[r][o];
  }
  return totals;
}

/// The outcome weights less their mean over each unit's outcomes.
LuckNetwork balanced(LuckNetwork network) {
  for (std::size_t u = 0; u < static_cast<std::size_t>(network.units); ++u) {
    float* const row = network.outcomes.data() + u * kOutcomeCount;
    float mean = 0.0f;
    for (std::size_t o = 0; o < kOutcomeCount; ++o) mean += row[o] / kOutcomeCount;
    for (std::size_t o = 0; o < kOutcomeCount; ++o) row[o] -= mean;
  }
  return network;
}

/// Luck in outcomes that are excluded goes to the nearest win or loss that is not.
OutcomeDistribution folded(const OutcomeDistribution& luck, unsigned possible) {
  OutcomeDistribution result;
  for (int o = 0; o < kOutcomeCount; ++o) {
    const bool is_win = o >= kOutcomeCount / 2;
    std::optional<int> nearest;
    for (int other = is_win ? 3 : 0; other < (is_win ? 6 : 3); ++other) {
      if ((possible >> other & 1u) == 0) continue;
      if (!nearest || std::abs(other - o) < std::abs(*nearest - o)) nearest = other;
    }
    REQUIRE(nearest);
    result[static_cast<std::size_t>(*nearest)] += luck[static_cast<std::size_t>(o)];
  }
  return result;
}

/// The largest magnitude that a roll's facts can add to each unit, slot by slot, and the most facts
/// that a roll can have: what a quantised luck network reckons with.
FurtherTerms further_terms(const LuckNetwork& network) {
  const auto units = static_cast<std::size_t>(network.units);
  FurtherTerms further{std::vector<float>(network.width(), 0.0f), 0};
  for (const Roll roll : kRolls) {
    int count = 0;
    for (const FactSlots& slots : slots_of_roll(roll)) count += slots.count;
    further.most = std::max(further.most, count);
    for (std::size_t u = 0; u < units; ++u) {
      for (const double sign : {1.0, -1.0}) {
        double reach = 0.0;
        for (const FactSlots& slots : slots_of_roll(roll)) {
          for (int slot = 0; slot < slots.count; ++slot) {
            double most = 0.0;
            for (int i = 0; i < slots.size; ++i) {
              const int fact = slots.first + slot * slots.size + i;
              most = std::max(
                  most, sign * static_cast<double>(
                                   network.facts[static_cast<std::size_t>(fact) * units + u]));
            }
            reach += most;
          }
        }
        further.reach[u] = std::max(further.reach[u], static_cast<float>(reach));
      }
    }
  }
  return further;
}

QuantisedRows rows_of(const LuckNetwork& network) {
  return QuantisedRows(network.first, network.first_bias, "test", further_terms(network));
}

/// How far integers may lead away from the formula.
///
/// A unit is the sum of `terms` numbers, each off by half a step of 1 / (127 * 2^shift) at most,
/// then rounded to steps of 1 / 127; clamping doesn't add to that. A gate's int8 weights are off by
/// half of 1 / 127 of the largest that leads to it. Both are worst cases that don't occur together.
OutcomeDistribution worst_errors(const LuckNetwork& network, const PlainLuck& plain,
                                 std::size_t rows, const FactsOfRolls& facts, int shift,
                                 std::size_t roll) {
  const auto units = static_cast<std::size_t>(network.units);
  const auto hidden = static_cast<std::size_t>(network.hidden);
  const auto unit_error = [&](std::size_t terms) {
    return (0.5 + 0.5 * static_cast<double>(terms + 1) / std::ldexp(1.0, shift)) / 127.0;
  };
  double mean_error = 0.0;
  for (std::size_t r = 0; r < kRollCount; ++r) {
    mean_error += unit_error(rows + facts[r].size()) * kRolls[r].weight() / kDiceOutcomes;
  }
  const double deviation_error = unit_error(rows + facts[roll].size()) + mean_error;
  OutcomeDistribution errors;
  for (std::size_t u = 0; u < units; ++u) {
    double largest = 0.0;
    for (std::size_t h = 0; h < hidden; ++h) {
      largest =
          std::max(largest, std::abs(static_cast<double>(network.gate_weights[h * units + u])));
    }
    double gate_error = 1e-6;
    for (std::size_t h = 0; h < hidden; ++h) {
      const double weight = std::abs(static_cast<double>(network.gate_weights[h * units + u]));
      const double input_error = unit_error(rows);
      gate_error += weight * input_error + (plain.hidden[h] + input_error) * 0.5 * largest / 127.0;
    }
    const double deviation = std::abs(plain.units[roll][u] - plain.mean[u]);
    const double error = gate_error * deviation + (plain.gates[u] + gate_error) * deviation_error;
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      errors[o] += error * std::abs(static_cast<double>(network.outcomes[u * kOutcomeCount + o]));
    }
  }
  for (std::size_t o = 0; o < kOutcomeCount; ++o) errors[o] += 1e-6;
  return errors;
}

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

TEST_CASE("quantised luck follows the formula as closely as its integers allow") {
  const auto [units, hidden] =
      GENERATE(table<int, int>({{64, 64}, {64, 128}, {128, 64}, {128, 128}}));
  CAPTURE(units, hidden);
  const LuckNetwork network = modest_luck_network(units, hidden, 1);
  const LuckNetwork even = balanced(network);
  const QuantisedLuck quantised(network, "contact", best_instruction_set());
  const int shift = rows_of(network).table().shift;
  double errors = 0.0;
  double squares = 0.0;
  for (const Position& position : many_positions(2, 250)) {
    const FactsOfRolls facts = facts_of_rolls(position);
    const PlainLuck plain = plain_luck(even, oracle::features(position), facts);
    const unsigned possible = possible_outcomes(position);
    const std::size_t rows = active_rows(position).size();
    for (std::size_t r = 0; r < kRollCount; ++r) {
      const OutcomeDistribution expected = folded(plain.luck[r], possible);
      const OutcomeDistribution found = quantised.luck(position, kRolls[r]);
      const OutcomeDistribution most =
          folded(worst_errors(even, plain, rows, facts, shift, r), possible);
      for (std::size_t o = 0; o < kOutcomeCount; ++o) {
        const double error = found[o] - expected[o];
        if (!(std::abs(error) <= most[o])) {
          FAIL(position_text(position) << ", roll " << r << ", outcome " << o << ": " << found[o]
                                       << ", not " << expected[o] << " +- " << most[o]);
        }
        errors += error * error;
        squares += expected[o] * expected[o];
      }
    }
  }
  // Errors of single roundings mostly cancel.
  INFO("relative error " << std::sqrt(errors / squares));
  CHECK(errors < 0.03 * 0.03 * squares);
  CHECK(squares > 0.0);
}

TEST_CASE("luck sums to zero over the dice and over the outcomes") {
  for (const InstructionSet level : available_levels()) {
    const QuantisedLuck quantised(modest_luck_network(128, 64, 3), "contact", level);
    double largest = 0.0;
    for (const Position& position : many_positions(4, 200)) {
      const LuckOfRolls luck = luck_of_rolls(quantised, position);
      for (const double total : totals_by_outcome(luck)) CHECK(std::abs(total) < 1e-6);
      for (const OutcomeDistribution& of_roll : luck) {
        double sum = 0.0;
        for (std::size_t o = 0; o < kOutcomeCount; ++o) {
          sum += of_roll[o];
          largest = std::max(largest, std::abs(of_roll[o]));
        }
        CHECK(std::abs(sum) < 1e-6);
      }
    }
    CHECK(largest > 0.05);
  }
}

TEST_CASE("luck of a position where rolls don't differ is zero") {
  // Shut out: whatever is rolled, only the bar's own facts tell rolls apart.
  LuckNetwork network = modest_luck_network(64, 64, 5);
  const Position position = parse_position("barx2 6x13 / 6x2 5x2 4x2 3x2 2x2 1x2 13x3");
  for (const std::vector<Fact>& facts : facts_of_rolls(position)) {
    REQUIRE(facts.size() == 1);
    for (std::size_t u = 0; u < 64; ++u) network.facts[facts[0] * 64 + u] = 0.25f;
  }
  const QuantisedLuck quantised(network, "contact", best_instruction_set());
  for (const OutcomeDistribution& luck : luck_of_rolls(quantised, position)) {
    CHECK(luck == OutcomeDistribution{});
  }
}

TEST_CASE("excluded outcomes have no luck, and nothing is lost with them") {
  const LuckNetwork network = modest_luck_network(64, 64, 6);
  const QuantisedLuck quantised(network, "contact", best_instruction_set());
  const LuckNetwork even = balanced(network);
  std::array<int, kOutcomeCount> excluded{};
  for (const Position& position : many_positions(7, 600)) {
    const unsigned possible = possible_outcomes(position);
    const PlainLuck plain = plain_luck(even, position);
    for (std::size_t r = 0; r < kRollCount; ++r) {
      const OutcomeDistribution luck = quantised.luck(position, kRolls[r]);
      for (std::size_t o = 0; o < kOutcomeCount; ++o) {
        if ((possible >> o & 1u) != 0) continue;
        ++excluded[o];
        if (luck[o] != 0.0) FAIL(position_text(position) << ", outcome " << o << ": " << luck[o]);
      }
      const double wins = luck[3] + luck[4] + luck[5];
      const double losses = luck[0] + luck[1] + luck[2];
      CHECK(wins + losses == Approx(0.0).margin(1e-6));
      CHECK(wins == Approx(plain.luck[r][3] + plain.luck[r][4] + plain.luck[r][5]).margin(0.05));
    }
  }
  for (const std::size_t o : {0u, 1u, 4u, 5u}) CHECK(excluded[o] > 500);
}

TEST_CASE("excluded outcomes have no luck in games of one checker either", "") {
  // A winner of such a game has borne off all and the loser none: there are no single games.
  const QuantisedLuck quantised(modest_luck_network(64, 64, 8), "contact", best_instruction_set());
  int present = 0;
  std::mt19937_64 random(9);
  for (int i = 0; i < 50; ++i) {
    const Position position = oracle::random_position(random, 1);
    const unsigned possible = possible_outcomes(position);
    for (const OutcomeDistribution& luck : luck_of_rolls(quantised, position)) {
      for (std::size_t o = 0; o < kOutcomeCount; ++o) {
        if ((possible >> o & 1u) == 0 && luck[o] != 0.0) ++present;
      }
    }
  }
  CHECK(present == 0);
}

TEST_CASE("luck is the same to the bit at every instruction set") {
  const auto [units, hidden] =
      GENERATE(table<int, int>({{64, 64}, {64, 192}, {192, 64}, {128, 128}}));
  CAPTURE(units, hidden);
  for (const LuckNetwork& network :
       {modest_luck_network(units, hidden, 10), random_luck_network(units, hidden, 11)}) {
    const QuantisedLuck scalar(network, "contact", InstructionSet::kScalar);
    for (const InstructionSet level : available_levels()) {
      const QuantisedLuck quantised(network, "contact", level);
      INFO(kInstructionSetNames[static_cast<std::size_t>(level)]);
      for (const Position& position : many_positions(12, 60, 1)) {
        for (const Roll roll : kRolls) {
          const OutcomeDistribution expected = scalar.luck(position, roll);
          const OutcomeDistribution found = quantised.luck(position, roll);
          for (std::size_t o = 0; o < kOutcomeCount; ++o) {
            if (std::bit_cast<std::uint64_t>(found[o]) !=
                std::bit_cast<std::uint64_t>(expected[o])) {
              FAIL(position_text(position) << ": " << found[o] << ", not " << expected[o]);
            }
          }
        }
      }
    }
  }
}

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
  for (const Position& position : many_positions(17, 600)) {
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
    const LuckOfRolls luck = luck_of_rolls(QuantisedLuck(network, "contact", level), position);
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
