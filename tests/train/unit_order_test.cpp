#include "train/unit_order.h"

#include <catch2/catch.hpp>
#include <random>
#include <vector>

#include "evaluator/evaluator.h"
#include "evaluator/network_fixtures.h"
#include "oracles/features_oracle.h"
#include "oracles/random_positions.h"

namespace sixfold {
namespace {

constexpr std::size_t kSixPoint = 56;  ///< The feature: at least one checker there.

std::vector<Position> some_positions(std::uint32_t seed, int count) {
  std::mt19937_64 random(seed);
  std::vector<Position> positions;
  for (int i = 0; i < count; ++i) positions.push_back(oracle::random_position(random, 15));
  return positions;
}

/// Units around zero, so that some are active and some are not.
Network wavering_network(int hidden) {
  Network network = modest_network(hidden, 3);
  for (float& bias : network.first_bias) bias -= 0.5f;
  return network;
}

/// The share of pairs of neighbours in which a unit is not zero, by the oracle's features.
double active_pairs(const Network& network, const std::vector<Position>& positions) {
  double active = 0.0;
  for (const Position& position : positions) {
    const auto sums = dense(oracle::features(position), network.first, network.first_bias);
    for (std::size_t h = 0; h < sums.size(); h += 2) {
      active += sums[h] > 0.0 || sums[h + 1] > 0.0 ? 1.0 : 0.0;
    }
  }
  return active * 2.0 / static_cast<double>(positions.size() * network.first_bias.size());
}

/// Two kinds of units in turn, active for one player's six point or the other's, so that the best
/// order is known: like beside like.
Network two_kinds() {
  Network network = zero_network(64);
  std::fill(network.first_bias.begin(), network.first_bias.end(), -0.5f);
  for (std::size_t h = 0; h < 64; ++h) {
    const std::size_t feature = h % 2 == 0 ? kSixPoint : kSideFeatures + kSixPoint;
    network.first[feature * 64 + h] = 1.0f + static_cast<float>(h) / 64.0f;
  }
  return network;
}

}  // namespace

TEST_CASE("a network with its units paired gives the same outcomes") {
  const Network network = wavering_network(128);
  const Network paired = with_units_paired(network, some_positions(1, 100));
  REQUIRE(paired.first_bias != network.first_bias);
  const NetworkEvaluator before({network, network});
  const NetworkEvaluator after({paired, paired});
  for (const Position& position : some_positions(2, 300)) {
    CHECK(before.evaluate(position) == after.evaluate(position));
  }
}

TEST_CASE("pairing units leaves fewer pairs active, in other positions too") {
  const Network network = wavering_network(128);
  const Network paired = with_units_paired(network, some_positions(1, 300));
  const std::vector<Position> others = some_positions(2, 300);
  CHECK(active_pairs(paired, others) < 0.95 * active_pairs(network, others));
}

TEST_CASE("units that are active at the same time come to lie side by side") {
  const std::vector<Position> positions = some_positions(1, 300);
  const Network network = two_kinds();
  const Network paired = with_units_paired(network, positions);
  for (std::size_t h = 0; h < 64; h += 2) {
    const auto weight = [&](std::size_t feature, std::size_t unit) {
      return paired.first[feature * 64 + unit];
    };
    CHECK((weight(kSixPoint, h) > 0.0f) == (weight(kSixPoint, h + 1) > 0.0f));
    CHECK((weight(kSixPoint, h) > 0.0f) != (weight(kSideFeatures + kSixPoint, h) > 0.0f));
  }
}

TEST_CASE("a network is narrowed by the units that say least, their means kept") {
  // Every other unit is constant: .8 of a step, lost unless it goes into the second layer's bias.
  Network network = modest_network(128, 3);
  for (std::size_t h = 0; h < 128; h += 2) {
    network.first_bias[h] = 0.8f;
    for (std::size_t f = 0; f < kFeatureCount; ++f) network.first[f * 128 + h] = 0.0f;
  }
  const Network narrow = narrowed(network, 64, some_positions(1, 50));
  REQUIRE(narrow.hidden == 64);
  for (const Position& position : some_positions(2, 100)) {
    const OutcomeDistribution before = plain_forward({network, network}, position);
    const OutcomeDistribution after = plain_forward({narrow, narrow}, position);
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      CHECK(after[o] == Approx(before[o]).margin(1e-5));
    }
  }
}

TEST_CASE("without positions units stay where they are") {
  const Network network = wavering_network(64);
  CHECK(with_units_paired(network, {}) == network);
}

}  // namespace sixfold
