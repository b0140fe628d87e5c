#include "train/cube_trainer.h"

#include <array>
#include <catch2/catch.hpp>
#include <cmath>
#include <string>
#include <vector>

#include "equity/cube.h"
#include "evaluator/file_fixtures.h"
#include "evaluator/network_fixtures.h"
#include "rules/notation.h"
#include "rules/start.h"
#include "train/checkpoint_fixtures.h"

namespace sixfold {
namespace {

NetworkFile small_evaluator(int checkers = kMaxCheckers) {
  NetworkFile file;
  file.card = {"made up", 5, 6, checkers, ""};
  file.networks = {modest_network(64, 1), modest_network(64, 2)};
  return file;
}

CubeTrainer short_trainer(int threads = 1, std::uint64_t games = 24,
                          const NetworkFile& file = small_evaluator(3)) {
  CubeRecipe recipe = cube_recipe_named("quick");
  recipe.games = games;
  return CubeTrainer(recipe, file, 12, threads);
}

std::string state_of(const CubeTrainer& trainer, const Room& room) {
  trainer.save_checkpoint(room / "state");
  return read_bytes(room / "state");
}

const TwoSidedTable& two_sided() {
  static const TwoSidedTable kTable = [] {
    Workers workers(2);
    return TwoSidedTable(workers);
  }();
  return kTable;
}

std::vector<CubeSample> samples_of(const NetworkFile& file, double lambda, std::uint64_t game) {
  ExactTables tables;
  tables.two_sided = {std::shared_ptr<const TwoSidedTable>(), &two_sided()};
  const NetworkEvaluator evaluator(file.networks, best_instruction_set(), tables, file.cube);
  ChoiceScratch scratch;
  return cube_game_samples(evaluator, two_sided(), start_position(file.card.checkers), lambda, 5,
                           game, scratch);
}

}  // namespace

TEST_CASE("recipes for the cube are found by their names") {
  CHECK(cube_recipe_named("quick").games < cube_recipe_named("standard").games);
  const auto error = refusal([] { (void)cube_recipe_named("slow"); });
  REQUIRE(error);
  CHECK(error->expected() == "quick or standard");
}

TEST_CASE("what an evaluator says is linear in lives by a sample's gains") {
  const NetworkFile file = small_evaluator();
  const NetworkEvaluator evaluator(file.networks);
  int positions = 0;
  for (const CubeSample& sample : samples_of(file, 0.8, 1)) {
    if (two_sided().holds(sample.position)) continue;
    const CubeLives lives = evaluator.evaluate_with_cube(sample.position).lives;
    const std::array all{lives.own, lives.opponents, lives.centred_own, lives.centred_opponents};
    const auto with = [&](std::size_t l) { return all[l] * sample.gain[l]; };
    CHECK(sample.value[CubeOwner::kRoller] == Approx(sample.dead + with(0)).margin(1e-9));
    CHECK(sample.value[CubeOwner::kOpponent] == Approx(sample.dead + with(1)).margin(1e-9));
    CHECK(sample.value[CubeOwner::kCentred] ==
          Approx(sample.dead + with(2) + with(3)).margin(1e-9));
    ++positions;
  }
  CHECK(positions > 20);
}

TEST_CASE("targets are exact where the two-sided table holds the position, and near it") {
  // Whatever the networks say: of positions all of whose children the table holds, targets are a
  // mean of exact values.
  const NetworkFile file = small_evaluator(3);
  int exact = 0;
  for (std::uint64_t game = 0; game < 100; ++game) {
    for (const CubeSample& sample : samples_of(file, 0.8, game)) {
      if (!two_sided().holds(sample.position)) continue;
      const TwoSidedTable::Entry& entry = two_sided().entry(sample.position);
      CHECK(sample.target[CubeOwner::kCentred] == entry.hold_centred);
      CHECK(sample.target[CubeOwner::kRoller] == entry.hold_owned);
      CHECK(sample.target[CubeOwner::kOpponent] == entry.opponents);
      ++exact;
    }
  }
  CHECK(exact > 20);
}

TEST_CASE("without looking back targets are what all plays of all rolls come to") {
  // The race 1 6 against 1 on a cube of each owner: the roller bears both off with 15 of 36 rolls
  // (any table of one-roll chances), else the opponent wins at once.
  const NetworkFile file = small_evaluator();
  const NetworkEvaluator evaluator(file.networks);
  ChoiceScratch scratch;
  const Position position = parse_position("6 1 / 1");
  const auto samples = cube_game_samples(evaluator, two_sided(), position, 0.0, 1, 1, scratch);
  const double p = 15.0 / 36.0;
  // The opponent cashes what the roller leaves him, where he may double.
  CHECK(samples.front().target[CubeOwner::kCentred] == Approx(2.0 * p - 1.0));
  CHECK(samples.front().target[CubeOwner::kRoller] == Approx(2.0 * p - 1.0));
  CHECK(samples.front().target[CubeOwner::kOpponent] == Approx(2.0 * p - 1.0));
}

TEST_CASE("heads are the same on any number of threads, stopped and resumed or not") {
  const Room room;
  CubeTrainer whole = short_trainer(1, 1100);
  whole.run_iteration();
  const std::string half = state_of(whole, room);
  CubeTrainer other = short_trainer(3, 1100);
  other.run_iteration();
  CHECK(state_of(other, room) == half);
  other.save_checkpoint(room / "half");
  CubeTrainer resumed = CubeTrainer::resumed(room / "half", small_evaluator(3), 2);
  CHECK(resumed.result() == other.result());
  while (!whole.finished()) whole.run_iteration();
  while (!resumed.finished()) resumed.run_iteration();
  CHECK(whole.games() == 1100);
  CHECK(resumed.result() == whole.result());
  CHECK(whole.result().networks == small_evaluator(3).networks);
  CHECK(whole.result().cube.size() == 2);
}

TEST_CASE("heads learn: what they say comes nearer to what turns out") {
  CubeTrainer trainer = short_trainer(2, 3 * 1024);
  const CubeIterationReport first = trainer.run_iteration();
  trainer.run_iteration();
  const CubeIterationReport last = trainer.run_iteration();
  CHECK(last.games == 3 * 1024);
  CHECK(last.race_error < 0.9 * first.race_error);
}

TEST_CASE("checkpoints of other evaluators and damaged ones are refused") {
  const Room room;
  CubeTrainer trainer = short_trainer();
  trainer.run_iteration();
  trainer.save_checkpoint(room / "state");
  NetworkFile other = small_evaluator(3);
  other.networks.race.first[7] += 0.5f;
  const auto evaluator = refusal([&] { (void)CubeTrainer::resumed(room / "state", other, 1); });
  REQUIRE(evaluator);
  CHECK_THAT(evaluator->what(), Catch::Contains("is for the evaluator"));
  TensorFile file = read_tensors(room / "state");
  file.tensors.erase("race.2.targets");
  write_changed(room / "damaged", file);
  const auto damaged =
      refusal([&] { (void)CubeTrainer::resumed(room / "damaged", small_evaluator(3), 1); });
  REQUIRE(damaged);
  CHECK_THAT(damaged->what(), Catch::Contains("race.2.targets"));
}

}  // namespace sixfold
