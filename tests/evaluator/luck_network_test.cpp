#include "evaluator/luck_network.h"

#include <algorithm>
#include <array>
#include <bit>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <random>
#include <vector>

#include "encoding/position_fixtures.h"
#include "evaluator/luck_fixtures.h"
#include "evaluator/quantised_luck.h"
#include "evaluator/quantised_luck_fixtures.h"
#include "oracles/random_positions.h"
#include "rules/game_result.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

std::vector<double> totals_by_outcome(const OutcomesOfRolls& luck) {
  std::vector<double> totals(kOutcomeCount, 0.0);
  for (std::size_t r = 0; r < kRollCount; ++r) {
    for (std::size_t o = 0; o < kOutcomeCount; ++o) totals[o] += kRolls[r].weight() * luck[r][o];
  }
  return totals;
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
  for (const Position& position : many_positions(2, 250, 2)) {
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
    for (const Position& position : many_positions(4, 200, 2)) {
      const OutcomesOfRolls luck = luck_of_rolls(quantised, position);
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
  for (const Position& position : many_positions(7, 600, 2)) {
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
      for (const Position& position : many_positions(12, 60)) {
        CHECK(quantised.luck_of_rolls(position) == luck_of_rolls(scalar, position));
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

}  // namespace sixfold
