#include "train/luck_trainer.h"

#include <array>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <string>
#include <utility>
#include <vector>

#include "equity/score.h"
#include "evaluator/file_fixtures.h"
#include "evaluator/luck_fixtures.h"
#include "evaluator/network_fixtures.h"
#include "rollout/choice.h"
#include "rules/notation.h"
#include "rules/start.h"
#include "train/checkpoint_fixtures.h"
#include "train/trainer.h"

namespace sixfold {
namespace {

constexpr std::uint64_t kSeed = 12;
/// What an iteration plays at most.
constexpr std::uint64_t kIteration = 2048;

NetworkFile small_evaluator(int checkers = kMaxCheckers) {
  NetworkFile file;
  file.card = {"made up", 5, 6, checkers, ""};
  file.networks = {modest_network(64, 1), modest_network(64, 2)};
  return file;
}

LuckRecipe short_recipe(std::uint64_t games) {
  LuckRecipe recipe = luck_recipe_named("quick");
  recipe.games = games;
  return recipe;
}

LuckTrainer short_trainer(int threads = 1, std::uint64_t games = 12) {
  return LuckTrainer(short_recipe(games), small_evaluator(), kSeed, threads);
}

std::vector<LuckIterationReport> finish(LuckTrainer& trainer) {
  std::vector<LuckIterationReport> reports;
  while (!trainer.finished()) reports.push_back(trainer.run_iteration());
  return reports;
}

/// The whole state of a run as bytes.
std::string state_of(const LuckTrainer& trainer, const Room& room) {
  trainer.save_checkpoint(room / "state");
  return read_bytes(room / "state");
}

void check_equal(const LuckIterationReport& a, const LuckIterationReport& b) {
  CHECK(a.games == b.games);
  CHECK(a.positions == b.positions);
  CHECK(a.contact_explained == b.contact_explained);
  CHECK(a.race_explained == b.race_explained);
}

Damage misshapen(const std::string& name) {
  return [=](TensorFile& file) {
    file.tensors.at(name).shape = {file.tensors.at(name).values.size()};
  };
}

std::vector<std::vector<LuckSample>> games_of(const NetworkFile& file, std::uint64_t count) {
  const NetworkEvaluator evaluator(file.networks);
  std::vector<std::vector<LuckSample>> games;
  for (std::uint64_t game = 0; game < count; ++game) {
    games.push_back(labelled_game(evaluator, file.card.checkers, kSeed, game));
  }
  return games;
}

}  // namespace

TEST_CASE("recipes of luck networks are found by their names") {
  CHECK(luck_recipe_named("quick").name == "quick");
  CHECK(luck_recipe_named("standard").name == "standard");
  CHECK(luck_recipe_named("standard").games > luck_recipe_named("quick").games);
  for (const std::string name : {"", "Quick", "quick ", "thorough"}) {
    INFO(name);
    const auto error = refusal([&] { (void)luck_recipe_named(name); });
    REQUIRE(error);
    CHECK(error->expected() == "quick or standard");
    CHECK_THAT(error->what(), Catch::Contains("'" + name + "'"));
  }
}

TEST_CASE("labels are the values after the best plays less their mean, and sum to zero") {
  for (const int checkers : {kMaxCheckers, 3}) {
    const NetworkFile file = small_evaluator(checkers);
    const NetworkEvaluator evaluator(file.networks);
    ChoiceScratch scratch;
    std::size_t labels = 0;
    double largest = 0.0;
    for (const std::vector<LuckSample>& game : games_of(file, checkers == 3 ? 30 : 3)) {
      for (const LuckSample& sample : game) {
        REQUIRE_FALSE(game_over(sample.position));
        CHECK(sample.position.roller.total() == checkers);
        CHECK(sample.position.opponent.total() == checkers);
        const BestPlays plays = best_plays(evaluator, sample.position, kMoneyWorth, scratch);
        const OutcomeDistribution mean = plays.mean();
        std::array<double, kOutcomeCount> over_dice{};
        for (std::size_t r = 0; r < kRollCount; ++r) {
          double over_outcomes = 0.0;
          for (std::size_t o = 0; o < kOutcomeCount; ++o) {
            const auto label = static_cast<double>(sample.luck[r][o]);
            const double expected = plays.of_roll[r].outcomes[o] - mean[o];
            if (std::abs(label - expected) > 1e-7) {
              FAIL(position_text(sample.position) << ": " << label << ", not " << expected);
            }
            over_dice[o] += kRolls[r].weight() * label;
            over_outcomes += label;
            largest = std::max(largest, std::abs(label));
          }
          CHECK(std::abs(over_outcomes) < 1e-6);
        }
        for (const double sum : over_dice) CHECK(std::abs(sum) < 1e-5);
        ++labels;
      }
    }
    CHECK(labels > 30);
    CHECK(largest > 0.01);
  }
}

TEST_CASE("games repeat for their number and differ from one another") {
  const NetworkEvaluator evaluator(small_evaluator().networks);
  const auto positions_of = [&](std::uint64_t seed, std::uint64_t game) {
    std::vector<Position> positions;
    for (const LuckSample& sample : labelled_game(evaluator, kMaxCheckers, seed, game)) {
      positions.push_back(sample.position);
    }
    return positions;
  };
  const std::vector<Position> positions = positions_of(kSeed, 3);
  CHECK(positions.size() > 3);
  CHECK(positions_of(kSeed, 3) == positions);
  CHECK(positions_of(kSeed, 4) != positions);
  CHECK(positions_of(kSeed + 1, 3) != positions);
}

TEST_CASE("about a quarter of a game's positions are labelled, the start among them at times") {
  const NetworkFile file = small_evaluator(3);
  const Position start = start_position(3);
  int starts = 0;
  for (const std::vector<LuckSample>& game : games_of(file, 400)) {
    if (!game.empty() && game.front().position == start) ++starts;
  }
  // 100 of 400 to be expected, with a standard deviation of 9.
  CHECK(starts > 60);
  CHECK(starts < 140);
}

TEST_CASE("a run of luck networks starts with random weights that follow its seed") {
  const Room room;
  const std::string state = state_of(short_trainer(), room);
  CHECK(state_of(short_trainer(), room) == state);
  CHECK(state_of(LuckTrainer(short_recipe(12), small_evaluator(), kSeed + 1, 1), room) != state);
  const NetworkFile start = short_trainer().result();
  REQUIRE(start.luck);
  CHECK(start.luck->contact.units == luck_recipe_named("quick").contact_units);
  CHECK(start.luck->race.hidden == luck_recipe_named("quick").race_hidden);
  CHECK(start.luck->contact != start.luck->race);
}

TEST_CASE("the result of a run is its evaluator with luck networks") {
  LuckTrainer trainer = short_trainer();
  const NetworkFile before = trainer.result();
  const std::vector<LuckIterationReport> reports = finish(trainer);
  CHECK(trainer.finished());
  CHECK(trainer.games() == 12);
  REQUIRE(reports.size() == 1);
  CHECK(reports[0].games == 12);
  std::size_t positions = 0;
  for (const auto& game : games_of(small_evaluator(), 12)) positions += game.size();
  CHECK(reports[0].positions == positions);
  NetworkFile result = trainer.result();
  REQUIRE(result.luck);
  CHECK(result.luck->contact != before.luck->contact);
  CHECK(result.luck->race != before.luck->race);
  CHECK(network_identity(result) == network_identity(small_evaluator()));
  result.luck.reset();
  CHECK(result == small_evaluator());
}

TEST_CASE("a run of luck networks is the same on one thread and on two") {
  const Room room;
  LuckTrainer alone = short_trainer(1);
  LuckTrainer shared = short_trainer(2);
  check_equal(alone.run_iteration(), shared.run_iteration());
  CHECK(state_of(alone, room) == state_of(shared, room));
  CHECK(alone.result() == shared.result());
}

TEST_CASE("a run of luck networks resumed at its start equals the uninterrupted one to the bit") {
  const Room room;
  LuckTrainer straight = short_trainer(1);
  straight.save_checkpoint(room / "c");
  LuckTrainer resumed = LuckTrainer::resumed(room / "c", small_evaluator(), 2);
  CHECK(resumed.games() == 0);
  CHECK(resumed.seed() == kSeed);
  CHECK(resumed.recipe().name == "quick");
  CHECK(resumed.recipe().games == 12);
  check_equal(straight.run_iteration(), resumed.run_iteration());
  CHECK(state_of(resumed, room) == state_of(straight, room));
  CHECK(LuckTrainer::resumed(room / "state", small_evaluator(), 1).finished());
}

TEST_CASE("a run of luck networks resumed half way equals the uninterrupted one to the bit") {
  // Games of one checker a side, so that there can be more of them than an iteration has.
  const Room room;
  const auto start = [] {
    return LuckTrainer(short_recipe(kIteration + 200), small_evaluator(1), kSeed, 1);
  };
  LuckTrainer straight = start();
  const std::vector<LuckIterationReport> expected = finish(straight);
  REQUIRE(expected.size() == 2);
  CHECK(expected[0].games == kIteration);
  CHECK(expected[1].games == kIteration + 200);
  CHECK(expected[1].positions > 50);

  LuckTrainer first = start();
  check_equal(first.run_iteration(), expected[0]);
  CHECK_FALSE(first.finished());
  first.save_checkpoint(room / "half");
  LuckTrainer second = LuckTrainer::resumed(room / "half", small_evaluator(1), 2);
  CHECK(second.games() == kIteration);
  CHECK(second.recipe().games == kIteration + 200);
  check_equal(second.run_iteration(), expected[1]);
  CHECK(second.finished());
  CHECK(state_of(second, room) == state_of(straight, room));
  CHECK(second.result() == straight.result());
  CHECK(state_of(first, room) != state_of(straight, room));
}

TEST_CASE("a checkpoint for another evaluator is refused") {
  const Room room;
  short_trainer().save_checkpoint(room / "c");
  NetworkFile other = small_evaluator();
  other.networks.race.head_bias[0] += 0.5f;
  require_refusal([&] { (void)LuckTrainer::resumed(room / "c", other, 1); }, room / "c",
                  "is for the evaluator " + network_identity(small_evaluator()));
  // Luck networks that it has already do not make it another.
  other = small_evaluator();
  other.luck = LuckPair{zero_luck_network(64, 64), zero_luck_network(64, 64)};
  CHECK_FALSE(refusal([&] { (void)LuckTrainer::resumed(room / "c", other, 1); }));
}

TEST_CASE("checkpoints of evaluators and of luck networks are not taken for one another") {
  const Room room;
  Trainer(recipe_named("quick"), kSeed, kMaxCheckers, 1).save_checkpoint(room / "evaluator");
  short_trainer().save_checkpoint(room / "luck");
  save_network(room / "network", short_trainer().result());
  const auto resume = [&](const char* name) {
    return [&room, name] { (void)LuckTrainer::resumed(room / name, small_evaluator(), 1); };
  };
  CHECK_FALSE(refusal(resume("luck")));
  require_refusal(resume("evaluator"), room / "evaluator", "not a training checkpoint");
  require_refusal(resume("network"), room / "network", "not a training checkpoint");
  require_refusal(resume("none"), room / "none", "no such file");
  require_refusal([&] { (void)Trainer::resumed(room / "luck", 1); }, room / "luck",
                  "not a training checkpoint");
  require_refusal([&] { (void)load_network(room / "luck"); }, room / "luck",
                  "not a Sixfold network");
}

TEST_CASE("damaged checkpoints of luck networks are refused") {
  const Room room;
  short_trainer().save_checkpoint(room / "whole");
  const TensorFile whole = read_tensors(room / "whole");
  const std::vector<std::pair<std::string, Damage>> cases{
      {"not a training checkpoint", without("format")},
      {"another version", metadata("format", "sixfold.luck-checkpoint/1")},
      {"feature set", without("feature_set")},
      {"feature set 0", metadata("feature_set", "0")},
      {"is for the evaluator", without("evaluator")},
      {"is for the evaluator 0", metadata("evaluator", "0")},
      {"seed", without("seed")},
      {"seed", metadata("seed", "-1")},
      {"games", without("games")},
      {"games", metadata("games", "many")},
      {"13 games of 12 planned", metadata("games", "13")},
      {"planned_games", without("planned_games")},
      {"planned_games", metadata("planned_games", "4e6")},
      {"0 games of 0 planned", metadata("planned_games", "0")},
      {"contact.steps", without("contact.steps")},
      {"race.steps", metadata("race.steps", "?")},
      {"no tensor 'contact.weights.first'", missing("contact.weights.first")},
      {"no tensor 'contact.average.facts'", missing("contact.average.facts")},
      {"no tensor 'race.first_moment.gate_bias'", missing("race.first_moment.gate_bias")},
      {"no tensor 'race.second_moment.outcomes'", missing("race.second_moment.outcomes")},
      {"'race.weights.outcomes' has shape [384]", misshapen("race.weights.outcomes")},
      {"'contact.average.gate_weights' has shape", misshapen("contact.average.gate_weights")},
      {"race has a part of 64 units and 128 hidden units",
       [](TensorFile& file) {
         add_luck_network(file, "race.second_moment", zero_luck_network(64, 128));
       }},
      {"contact has a part of 128 units and 64 hidden units",
       [](TensorFile& file) {
         add_luck_network(file, "contact.weights", zero_luck_network(128, 64));
       }},
  };
  for (const auto& [words, damage] : cases) {
    TensorFile damaged = whole;
    damage(damaged);
    write_changed(room / "c", damaged);
    require_refusal([&] { (void)LuckTrainer::resumed(room / "c", small_evaluator(), 1); },
                    room / "c", words);
  }
  for (const Damage& damage : {metadata("recipe", "thorough"), without("recipe")}) {
    TensorFile damaged = whole;
    damage(damaged);
    write_changed(room / "c", damaged);
    const auto error =
        refusal([&] { (void)LuckTrainer::resumed(room / "c", small_evaluator(), 1); });
    REQUIRE(error);
    CHECK_THAT(error->what(), Catch::Contains("is not a recipe"));
    CHECK_THAT(error->where(), Catch::StartsWith((room / "c").string()));
  }
}

TEST_CASE("an evaluator that can't be used gets no luck networks") {
  NetworkFile file = small_evaluator();
  file.networks.race.first_bias[0] = 1e6f;
  const auto error = refusal([&] { LuckTrainer(short_recipe(12), file, kSeed, 1); });
  REQUIRE(error);
  CHECK_THAT(error->what(), Catch::Contains("race network's weights are too large"));
}

TEST_CASE("a checkpoint of luck networks that can't be written is reported") {
  const Room room;
  const fs::path path = room / "missing/c";
  require_refusal([&] { short_trainer().save_checkpoint(path); }, path, "does not exist");
  CHECK(room.count() == 0);
}

TEST_CASE("a few thousand games teach luck networks most of the luck of small games") {
  LuckTrainer trainer(short_recipe(2 * kIteration), small_evaluator(3), kSeed, 1);
  const std::vector<LuckIterationReport> reports = finish(trainer);
  REQUIRE(reports.size() == 2);
  INFO("explained: contact " << reports[0].contact_explained << ", then "
                             << reports[1].contact_explained << "; race "
                             << reports[0].race_explained << ", then " << reports[1].race_explained
                             << "; " << reports[0].positions << " positions");
  CHECK(reports[1].contact_explained > reports[0].contact_explained);
  CHECK(reports[1].race_explained > reports[0].race_explained);
  CHECK(reports[1].contact_explained > 0.3);
  CHECK(reports[1].race_explained > 0.3);
}

}  // namespace sixfold
