// What networks say of the cube, against the formula in plain double arithmetic.
#include "evaluator/cube_head.h"

#include <algorithm>
#include <array>
#include <bit>
#include <catch2/catch.hpp>
#include <cmath>
#include <limits>
#include <random>
#include <string>
#include <vector>

#include "base/input_error.h"
#include "evaluator/evaluator.h"
#include "evaluator/file_fixtures.h"
#include "evaluator/network_fixtures.h"
#include "oracles/random_positions.h"
#include "rules/game_result.h"
#include "rules/notation.h"
#include "rules/plays.h"

namespace sixfold {
namespace {

/// Lives that use all of 0..1, and some beyond it.
CubeHead random_head(int hidden, std::uint32_t seed) {
  std::mt19937 engine(seed);
  CubeHead head;
  head.hidden = hidden;
  const auto fill = [&](std::vector<float>& values, std::size_t size, float range) {
    values.resize(size);
    for (float& value : values) {
      value = range * static_cast<float>(static_cast<std::int32_t>(engine())) * 0x1p-31f;
    }
  };
  const auto units = static_cast<std::size_t>(hidden);
  fill(head.hidden_weights, units * kLifeCount, 2.0f / std::sqrt(static_cast<float>(hidden)));
  fill(head.shape_weights, kOutcomeShapes * kLifeCount, 0.6f);
  for (std::size_t l = 0; l < kLifeCount; ++l) head.shape_weights[l] += 0.5f;
  return head;
}

NetworkFile file_with_heads() {
  NetworkFile file;
  file.card = {"made up", 5, 6, kMaxCheckers, ""};
  file.networks = {modest_network(192, 1), modest_network(64, 2)};
  file.cube = {random_head(192, 3), random_head(64, 4)};
  return file;
}

/// The formulas of evaluator/network.h and evaluator/cube_head.h.
std::array<double, kLifeCount> plain_lives(const NetworkFile& file, const Position& position) {
  const Phase phase = stand_in_for(phase_of(position), file.networks.phases());
  const Network& network = file.networks.stored_for(phase);
  const CubeHead& head = file.cube[static_cast<std::size_t>(phase)];
  std::vector<double> hidden = dense(oracle::features(position), network.first, network.first_bias);
  for (double& value : hidden) {
    value = std::clamp(value, 0.0, 1.0);
    value *= value;
  }
  const OutcomeDistribution outcomes = plain_forward(file.networks, position);
  const double p = outcomes.win_probability();
  const double won = outcomes[4] + 2.0 * outcomes[5];
  const double lost = outcomes[1] + 2.0 * outcomes[0];
  const std::vector<double> shapes{1.0,       p,           p * p,      p * p * p, won,     lost,
                                   won * won, lost * lost, won * lost, won * p,   lost * p};
  const std::vector<float> none(kLifeCount, 0.0f);
  const std::vector<double> from_hidden = dense(hidden, head.hidden_weights, none);
  const std::vector<double> from_shapes = dense(shapes, head.shape_weights, none);
  std::array<double, kLifeCount> lives;
  for (std::size_t l = 0; l < kLifeCount; ++l) {
    lives[l] = std::clamp(from_hidden[l] + from_shapes[l], 0.0, 1.0);
  }
  return lives;
}

std::array<double, kLifeCount> as_array(const CubeLives& lives) {
  return {lives.own, lives.opponents, lives.centred_own, lives.centred_opponents};
}

bool same_bits(const Outlook& a, const Outlook& b) {
  const auto bits = [](const auto& values) {
    std::vector<std::uint64_t> all;
    for (const double value : values) all.push_back(std::bit_cast<std::uint64_t>(value));
    return all;
  };
  return bits(a.outcomes.probability) == bits(b.outcomes.probability) &&
         bits(as_array(a.lives)) == bits(as_array(b.lives));
}

NetworkEvaluator evaluator_of(const NetworkFile& file,
                              InstructionSet level = best_instruction_set(),
                              const ExactTables& tables = {}) {
  return NetworkEvaluator(file.networks, level, tables, file.cube);
}

}  // namespace

TEST_CASE("lives are those of the formula, and stay within 0 and 1") {
  const NetworkFile file = file_with_heads();
  const NetworkEvaluator evaluator = evaluator_of(file);
  std::mt19937_64 random(1);
  int inside = 0;
  int at_an_end = 0;
  for (int i = 0; i < 400; ++i) {
    const Position position = oracle::random_position(random, i % 15 + 1);
    if (game_over(position)) continue;
    const auto expected = plain_lives(file, position);
    const auto found = as_array(evaluator.evaluate_with_cube(position).lives);
    INFO(position_text(position));
    for (std::size_t l = 0; l < kLifeCount; ++l) {
      CHECK(found[l] == Approx(expected[l]).margin(0.004));
      (found[l] > 0.0 && found[l] < 1.0 ? inside : at_an_end) += 1;
    }
  }
  CHECK(inside > 400);
  CHECK(at_an_end > 40);
}

TEST_CASE("with the cube outcomes are the same, and children are what they are alone, to the bit") {
  const NetworkFile file = file_with_heads();
  const NetworkEvaluator scalar = evaluator_of(file, InstructionSet::kScalar);
  std::mt19937_64 random(2);
  PlayList plays;
  for (const InstructionSet level : available_levels()) {
    const NetworkEvaluator evaluator = evaluator_of(file, level);
    for (int i = 0; i < 40; ++i) {
      const Position parent = oracle::random_position(random, i % 15 + 1);
      for (const Roll roll : kRolls) {
        generate_plays(parent, roll, plays);
        std::vector<Outlook> outlooks(plays.size());
        evaluator.evaluate_children_with_cube(parent, plays.span(), outlooks);
        std::vector<OutcomeDistribution> outcomes(plays.size());
        evaluator.evaluate_children(parent, plays.span(), outcomes);
        for (std::size_t k = 0; k < plays.size(); ++k) {
          const Position child = position_after(parent, plays[k]);
          REQUIRE(outlooks[k].outcomes == outcomes[k]);
          if (game_over(child)) continue;
          REQUIRE(same_bits(reversed(outlooks[k]), evaluator.evaluate_with_cube(child)));
          REQUIRE(same_bits(reversed(outlooks[k]), scalar.evaluate_with_cube(child)));
        }
      }
    }
  }
}

TEST_CASE("where tables know the outcomes the networks still say how alive the cube is") {
  const NetworkFile file = file_with_heads();
  Workers workers(2);
  ExactTables tables;
  tables.two_sided = std::make_shared<const TwoSidedTable>(workers);
  const NetworkEvaluator with = evaluator_of(file, best_instruction_set(), tables);
  const NetworkEvaluator without = evaluator_of(file);
  const Position parent = parse_position("8 5 2 / 6x2 4 2");
  PlayList plays;
  generate_plays(parent, parse_roll("63"), plays);
  std::vector<Outlook> outlooks(plays.size());
  with.evaluate_children_with_cube(parent, plays.span(), outlooks);
  int exact = 0;
  for (std::size_t k = 0; k < plays.size(); ++k) {
    const Position child = position_after(parent, plays[k]);
    CHECK(same_bits(reversed(outlooks[k]), with.evaluate_with_cube(child)));
    CHECK(reversed(outlooks[k].lives) == without.evaluate_with_cube(child).lives);
    if (!with.known(child)) continue;
    CHECK(reversed(outlooks[k].outcomes) == *with.known(child));
    ++exact;
  }
  CHECK(exact > 0);
}

TEST_CASE("without heads the lives are the means over all positions") {
  NetworkFile file = file_with_heads();
  file.cube.clear();
  const NetworkEvaluator evaluator = evaluator_of(file);
  CHECK_FALSE(evaluator.knows_lives());
  const Position contact = parse_position("24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5");
  const Position race = parse_position("6x15 / 6x15");
  CHECK(evaluator.evaluate_with_cube(contact).lives == equal_lives(kContactCubeLife));
  CHECK(evaluator.evaluate_with_cube(race).lives == equal_lives(kRaceCubeLife));
  PlayList plays;
  generate_plays(contact, parse_roll("31"), plays);
  std::vector<Outlook> outlooks(plays.size());
  evaluator.evaluate_children_with_cube(contact, plays.span(), outlooks);
  CHECK(outlooks.front().lives == equal_lives(kContactCubeLife));
}

TEST_CASE("heads for the cube come back from their file to the bit, and count in its identity") {
  const Room room;
  const NetworkFile saved = file_with_heads();
  save_network(room / "n", saved);
  CHECK(load_network(room / "n") == saved);
  NetworkFile plain = saved;
  plain.cube.clear();
  CHECK(network_identity(plain) == evaluator_identity(saved));
  CHECK(network_identity(plain) != network_identity(saved));
}

TEST_CASE("missing, misshapen and unknown heads are refused by name") {
  const auto message = [](const Damage& damage) {
    TensorFile file = to_tensors(file_with_heads());
    damage(file);
    const auto error = refusal([&] { (void)from_tensors(file, "n"); });
    REQUIRE(error);
    return std::string(error->what());
  };
  CHECK_THAT(message(missing("cube.race.shape_weights")),
             Catch::Contains("'cube.race.shape_weights'"));
  CHECK_THAT(message([](TensorFile& file) {
               file.tensors.erase("cube.contact.hidden_weights");
               file.tensors.erase("cube.contact.shape_weights");
             }),
             Catch::Contains("'cube.contact.hidden_weights'"));
  CHECK_THAT(message([](TensorFile& file) {
               file.tensors["cube.contact.hidden_weights"] = {{64, 4}, std::vector<float>(256)};
             }),
             Catch::Contains("[64, 4]") && Catch::Contains("[192, 4]"));
  CHECK_THAT(message([](TensorFile& file) {
               file.tensors["cube.behind.hidden_weights"] = {{64, 4}, std::vector<float>(256)};
             }),
             Catch::Contains("'cube.behind.hidden_weights'"));
}

TEST_CASE("heads that are not finite are refused") {
  for (const float damage :
       {std::numeric_limits<float>::quiet_NaN(), std::numeric_limits<float>::infinity()}) {
    NetworkFile file = file_with_heads();
    file.cube[1].shape_weights[5] = damage;
    const auto error = refusal([&] { (void)evaluator_of(file); });
    REQUIRE(error);
    CHECK_THAT(error->what(), Catch::Contains("race network's cube shape_weights"));
  }
}

}  // namespace sixfold
