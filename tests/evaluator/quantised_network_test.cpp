#include "evaluator/quantised_network.h"

#include <algorithm>
#include <array>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdint>
#include <filesystem>
#include <limits>
#include <random>
#include <string>
#include <vector>

#include "base/input_error.h"
#include "encoding/features.h"
#include "evaluator/evaluator.h"
#include "evaluator/network_file.h"
#include "evaluator/network_fixtures.h"
#include "oracles/random_positions.h"
#include "rules/notation.h"
#include "rules/plays.h"
#include "rules/start.h"

namespace sixfold {
namespace {

constexpr std::array<double, kOutcomeCount> kPoints123{-3.0, -2.0, -1.0, 1.0, 2.0, 3.0};

/// Differences of equity, quantised less plain.
class Errors {
 public:
  void add(double error) {
    ++count_;
    sum_ += error;
    squares_ += error * error;
    largest_ = std::max(largest_, std::abs(error));
  }
  [[nodiscard]] int count() const { return count_; }
  [[nodiscard]] double bias() const { return sum_ / count_; }
  [[nodiscard]] double rms() const { return std::sqrt(squares_ / count_); }
  [[nodiscard]] std::string text() const {
    return std::to_string(count_) + " positions, rms " + std::to_string(rms()) + ", bias " +
           std::to_string(bias()) + ", largest " + std::to_string(largest_);
  }

 private:
  int count_ = 0;
  double sum_ = 0.0;
  double squares_ = 0.0;
  double largest_ = 0.0;
};

/// The number of the play that the evaluator finds best.
std::size_t best_play(const Evaluator& evaluator, const Position& position, const PlayList& plays) {
  std::vector<OutcomeDistribution> outcomes(plays.size());
  evaluator.evaluate_children(position, plays.span(), outcomes);
  const auto best = std::max_element(outcomes.begin(), outcomes.end(), [](auto& a, auto& b) {
    return worth_of(a, kPoints123) < worth_of(b, kPoints123);
  });
  return static_cast<std::size_t>(best - outcomes.begin());
}

/// The unfinished positions of games in which both sides make a random play with probability
/// `random_probability`, and otherwise the one that the networks find best.
std::vector<Position> positions_of_games(const Networks& networks, double random_probability,
                                         std::uint64_t seed, int games) {
  const NetworkEvaluator evaluator(networks);
  std::mt19937_64 random(seed);
  std::vector<Position> positions;
  PlayList plays;
  for (int game = 0; game < games; ++game) {
    Position position = start_position();
    while (!game_over(position)) {
      positions.push_back(position);
      generate_plays(position, roll_of_outcome(static_cast<int>(random() % 36)), plays);
      const bool at_random = static_cast<double>(random() % 1000) < 1000.0 * random_probability;
      const std::size_t play =
          at_random ? random() % plays.size() : best_play(evaluator, position, plays);
      position = position_after(position, plays[play]);
    }
  }
  return positions;
}

struct PhaseErrors {
  Errors contact;
  Errors race;
};

PhaseErrors errors_over(const Networks& networks, const std::vector<Position>& positions) {
  const NetworkEvaluator evaluator(networks);
  PhaseErrors errors;
  for (const Position& position : positions) {
    const double quantised = worth_of(evaluator.evaluate(position), kPoints123);
    const double plain = worth_of(plain_forward(networks, position), kPoints123);
    (is_race(position) ? errors.race : errors.contact).add(quantised - plain);
  }
  return errors;
}

/// A network whose hidden units are all their bias.
Network network_of_bias(float bias) {
  Network network = zero_network(64);
  std::fill(network.first_bias.begin(), network.first_bias.end(), bias);
  return network;
}

/// Sets one feature's weights: `weight` to even hidden units, -`weight` to odd ones.
void set_feature(Network& network, int feature, float weight) {
  const auto hidden = static_cast<std::size_t>(network.hidden);
  for (std::size_t h = 0; h < hidden; ++h) {
    network.first[static_cast<std::size_t>(feature) * hidden + h] = h % 2 == 0 ? weight : -weight;
  }
}

/// The largest sums of one side, sign * rows, with up to 15 checkers on these locations.
std::vector<double> side_maximum(const std::vector<float>& rows, std::size_t hidden, int side,
                                 double sign, const std::array<int, 3>& locations) {
  std::vector<double> most(hidden, 0.0);
  const auto value = [&](std::size_t place, int count, std::size_t h) {
    return sign *
           static_cast<double>(rows[checkers_row(side, locations[place], count) * hidden + h]);
  };
  for (int a = 0; a <= 15; ++a) {
    for (int b = 0; a + b <= 15; ++b) {
      for (int c = 0; a + b + c <= 15; ++c) {
        for (std::size_t h = 0; h < hidden; ++h) {
          most[h] = std::max(most[h], value(0, a, h) + value(1, b, h) + value(2, c, h));
        }
      }
    }
  }
  return most;
}

}  // namespace

TEST_CASE("no position's sums exceed the reach of the hidden units") {
  const Network network = modest_network(128, 1);
  const std::vector<float> rows = baked_rows(network.first, network.first_bias.size());
  const std::vector<float> reach = reach_of_units(network.first_bias, rows);
  const std::size_t hidden = reach.size();
  REQUIRE(hidden == 128);
  std::mt19937_64 random(2);
  double nearest = 0.0;
  for (int i = 0; i < 5000; ++i) {
    const Position position = oracle::random_position(random, i % 2 == 0 ? 15 : i / 2 % 15 + 1);
    std::vector<double> sums(network.first_bias.begin(), network.first_bias.end());
    for (const Row row : active_rows(position)) {
      for (std::size_t h = 0; h < hidden; ++h)
        sums[h] += static_cast<double>(rows[row * hidden + h]);
    }
    for (std::size_t h = 0; h < hidden; ++h) {
      const double share = std::abs(sums[h]) / static_cast<double>(reach[h]);
      if (share > 1.0 + 1e-5) FAIL(position_text(position) << ", unit " << h << ": " << share);
      nearest = std::max(nearest, share);
    }
  }
  CHECK(nearest > 0.4);
}

TEST_CASE("the reach is the maximum over all placings") {
  // Only three locations count, so that all placings can be tried.
  constexpr std::array<int, 3> kPlaces{kOff, 6, kBar};
  const Network source = random_network(64, 3);
  Network network = zero_network(64);
  network.first_bias = source.first_bias;
  for (const int place : kPlaces) {
    for (int side = 0; side < kSideCount; ++side) {
      for (int count = 1; count <= kMaxCheckers; ++count) {
        for (const auto& [feature, weight] : features_of_row(checkers_row(side, place, count))) {
          const auto start = static_cast<std::ptrdiff_t>(feature) * 64;
          std::copy_n(source.first.begin() + start, 64, network.first.begin() + start);
        }
      }
    }
  }
  const std::vector<float> rows = baked_rows(network.first, network.first_bias.size());
  const std::vector<float> reach = reach_of_units(network.first_bias, rows);
  for (std::size_t h = 0; h < 64; ++h) {
    double expected = 0.0;
    for (const double sign : {1.0, -1.0}) {
      const double most =
          side_maximum(rows, 64, 0, sign, kPlaces)[h] + side_maximum(rows, 64, 1, sign, kPlaces)[h];
      expected = std::max(expected, sign * static_cast<double>(network.first_bias[h]) + most);
    }
    CHECK(static_cast<double>(reach[h]) == Approx(expected).epsilon(1e-5));
  }
}

TEST_CASE("the reach of a stack on the bar is that of its one feature") {
  Network network = zero_network(64);
  set_feature(network, 243, 2.0f);
  set_feature(network, 281 + 243, -1.0f);
  for (const float reach :
       reach_of_units(network.first_bias, baked_rows(network.first, network.first_bias.size()))) {
    // 7.5 * 2 of the roller, and nothing or 7.5 * 1 of the opponent: the better sign of each unit.
    CHECK(static_cast<double>(reach) == Approx(15.0));
  }
}

TEST_CASE("the pips that reach furthest count") {
  Network network = zero_network(64);
  set_feature(network, 260, 3.0f);
  set_feature(network, 265, 4.0f);
  set_feature(network, 281 + 280, 0.5f);
  const std::vector<float> reach =
      reach_of_units(network.first_bias, baked_rows(network.first, network.first_bias.size()));
  for (const float each : reach) CHECK(static_cast<double>(each) == Approx(4.5));
}

TEST_CASE("accumulators are as fine as their headroom allows") {
  const auto [bias, shift] = GENERATE(table<float, int>({{0.1f, 8},
                                                         {1.0f, 8},
                                                         {1.1f, 7},
                                                         {-2.0f, 7},
                                                         {100.0f, 1},
                                                         {-128.0f, 1},
                                                         {130.0f, 0},
                                                         {256.0f, 0}}));
  CAPTURE(bias);
  const QuantisedNetwork network(network_of_bias(bias), "contact");
  CHECK(network.weights().first.shift == shift);
  CHECK(127.0f * std::abs(bias) * static_cast<float>(1 << shift) < 32767.0f);
}

TEST_CASE("a network whose weights leave no headroom is refused by its name") {
  const float bias = GENERATE(258.1f, -258.1f, 1e4f, -1e30f, 3e38f);
  CAPTURE(bias);
  const Network sound = modest_network(64, 1);
  const auto refusal = [](const Networks& networks) {
    try {
      const NetworkEvaluator evaluator(networks);
    } catch (const InputError& error) {
      return std::string(error.what());
    }
    return std::string("accepted");
  };
  CHECK(refusal({sound, sound}) == "accepted");
  CHECK_THAT(refusal({network_of_bias(bias), sound}),
             Catch::Contains("contact network's weights are too large"));
  CHECK_THAT(refusal({sound, network_of_bias(bias)}),
             Catch::Contains("race network's weights are too large"));
}

TEST_CASE("a network is refused for what a placing of the checkers can reach, not for a weight") {
  Network network = zero_network(64);
  set_feature(network, 243, 34.0f);
  CHECK_NOTHROW(QuantisedNetwork(network, "contact"));
  set_feature(network, 243, 34.5f);
  CHECK_THROWS_AS(QuantisedNetwork(network, "contact"), InputError);
}

TEST_CASE("a position at the limit of the accumulators keeps its signs") {
  Network network = modest_network(64, 4);
  std::fill(network.first.begin(), network.first.end(), 0.0f);
  std::fill(network.first_bias.begin(), network.first_bias.end(), 0.0f);
  set_feature(network, 243, 34.0f);
  const Position position = parse_position("barx15 / 6x15");
  const OutcomeDistribution expected = plain_forward({network, network}, position);
  for (const InstructionSet level : available_levels()) {
    const NetworkEvaluator evaluator({network, network}, level);
    const OutcomeDistribution found = evaluator.evaluate(position);
    for (std::size_t o = 0; o < kOutcomeCount; ++o)
      CHECK(found[o] == Approx(expected[o]).margin(2e-3));
  }
}

TEST_CASE("sums may pass the limit on the way as long as they end within it") {
  Network direct = modest_network(64, 5);
  for (float& bias : direct.first_bias) bias = std::ldexp(std::round(bias * 64.0f), -6);
  Network detour = direct;
  for (float& bias : detour.first_bias) bias += 400.0f;
  for (const int side : {0, 1}) {
    const auto pips = static_cast<std::ptrdiff_t>(side * kSideFeatures + 260) * 64;
    std::fill_n(direct.first.begin() + pips, kPipFeatures * 64, 0.0f);
    std::fill_n(detour.first.begin() + pips, kPipFeatures * 64, -200.0f);
  }
  for (const InstructionSet level : available_levels()) {
    const NetworkEvaluator straight({direct, direct}, level);
    const NetworkEvaluator around({detour, detour}, level);
    std::mt19937_64 random(6);
    for (int i = 0; i < 200; ++i) {
      const Position position = oracle::random_position(random, 15);
      CHECK(straight.evaluate(position) == around.evaluate(position));
    }
  }
}

TEST_CASE("quantised random networks follow their floats") {
  const auto [contact_hidden, race_hidden, scale] =
      GENERATE(table<int, int, float>({{64, 64, 1.0f}, {256, 128, 1.0f}, {128, 64, 0.2f}}));
  const Networks networks{modest_network(contact_hidden, 7, scale),
                          modest_network(race_hidden, 8, scale)};
  std::vector<Position> positions;
  std::mt19937_64 random(9);
  for (int i = 0; i < 4000; ++i) positions.push_back(oracle::random_position(random, 15));
  const PhaseErrors errors = errors_over(networks, positions);
  INFO("contact: " << errors.contact.text() << "; races: " << errors.race.text());
  for (const Errors& phase : {errors.contact, errors.race}) {
    CHECK(phase.count() > 300);
    CHECK(phase.rms() < 0.001);
    CHECK(std::abs(phase.bias()) < 0.0005);
  }
}

TEST_CASE("the quantised standard networks follow their floats closely") {
  const std::filesystem::path path = std::filesystem::path(SIXFOLD_NETS) / "standard.safetensors";
  REQUIRE(std::filesystem::exists(path));
  const Networks networks = load_network(path).networks;
  // Games at random lead to positions unlike those of the training.
  const auto [random_probability, games] =
      GENERATE(table<double, int>({{0.0, 150}, {0.2, 100}, {1.0, 60}}));
  const PhaseErrors errors =
      errors_over(networks, positions_of_games(networks, random_probability, 10, games));
  WARN("random plays " << random_probability << ": contact: " << errors.contact.text()
                       << "; races: " << errors.race.text());
  for (const Errors& phase : {errors.contact, errors.race}) {
    CHECK(phase.count() > 500);
    CHECK(phase.rms() < 0.001);
    CHECK(std::abs(phase.bias()) < 0.0003);
    CHECK(phase.rms() > 1e-5);
  }
}

TEST_CASE("weights that are not finite, or that only cancel one another, are refused") {
  const auto check_refused = [](const Network& network) {
    CHECK_THROWS_AS(QuantisedNetwork(network, "contact"), InputError);
  };
  for (const float bad :
       {std::numeric_limits<float>::quiet_NaN(), std::numeric_limits<float>::infinity()}) {
    const Network good = modest_network(64, 1);
    for_each_array(good,
                   [&](const char* name, const std::vector<float>&, std::size_t, std::size_t) {
                     Network network = good;
                     for_each_array(network, [&](const char* other, std::vector<float>& values,
                                                 std::size_t, std::size_t) {
                       if (std::string(name) == other) values[3] = bad;
                     });
                     INFO(name);
                     check_refused(network);
                   });
  }
  Network cancelling = zero_network(64);
  cancelling.first_bias[0] = 1e30f;
  for (std::size_t side = 0; side < kSideCount; ++side) {
    const std::size_t end = (side + 1) * kSideFeatures;
    for (std::size_t f = end - kPipFeatures; f < end; ++f) cancelling.first[f * 64] = -5e29f;
  }
  check_refused(cancelling);
}

}  // namespace sixfold
