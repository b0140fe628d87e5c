#include "train/trainer.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <cstdint>
#include <functional>
#include <string>
#include <utility>
#include <vector>

#include "base/input_error.h"
#include "evaluator/file_fixtures.h"
#include "evaluator/luck_fixtures.h"
#include "evaluator/network_fixtures.h"
#include "oracles/plays_oracle.h"
#include "rules/notation.h"
#include "rules/start.h"
#include "train/checkpoint_fixtures.h"
#include "train/duel.h"
#include "train/trainer_fixtures.h"

namespace sixfold {
namespace {

Trainer quick_trainer(int threads = 1) {
  return Trainer(recipe_named("quick"), kSeed, kMaxCheckers, threads);
}

void check_equal(const IterationReport& a, const IterationReport& b) {
  CHECK(a.games == b.games);
  CHECK(a.loss == b.loss);
  CHECK(a.plies_per_game == b.plies_per_game);
  CHECK(a.gammon_rate == b.gammon_rate);
  CHECK(a.predicted_gammon_rate == b.predicted_gammon_rate);
  REQUIRE(a.strength.has_value() == b.strength.has_value());
  if (!a.strength) return;
  CHECK(a.strength->games == b.strength->games);
  CHECK(a.strength->snapshot_games == b.strength->snapshot_games);
  CHECK(a.strength->points_per_game == b.strength->points_per_game);
  CHECK(a.strength->standard_error == b.strength->standard_error);
}

/// Saves a run as if it had played that many games.
void save_at(const Trainer& trainer, std::uint64_t games, const fs::path& path) {
  trainer.save_checkpoint(path);
  TensorFile file = read_tensors(path);
  file.metadata["games"] = std::to_string(games);
  write_changed(path, file);
}

}  // namespace

TEST_CASE("recipes are found by their names") {
  CHECK(recipe_named("quick").name == "quick");
  CHECK(recipe_named("standard").name == "standard");
  CHECK(recipe_named("standard").games > recipe_named("quick").games);
  CHECK(recipe_named("full").contact_hidden > recipe_named("standard").contact_hidden);
  for (const std::string name : {"", "Quick", "quick ", "thorough"}) {
    INFO(name);
    const auto error = refusal([&] { (void)recipe_named(name); });
    REQUIRE(error);
    CHECK(error->expected() == "quick, standard, full or refine");
    CHECK_THAT(error->what(), Catch::Contains("'" + name + "'"));
  }
}

TEST_CASE("a run for a number of checkers without a start is refused") {
  for (const int checkers : {-1, 0, 13, 14, 16}) {
    INFO(checkers);
    const auto error = refusal([&] { Trainer(recipe_named("quick"), kSeed, checkers, 1); });
    REQUIRE(error);
    CHECK_THAT(error->what(), Catch::Contains(std::to_string(checkers) + " checkers"));
  }
  for (const int checkers : {1, 12, 15}) {
    INFO(checkers);
    CHECK_FALSE(refusal([&] { Trainer(recipe_named("quick"), kSeed, checkers, 1); }));
  }
}

TEST_CASE("a run starts with random weights that follow its seed") {
  const Room room;
  const std::string state = state_of(quick_trainer(), room);
  CHECK(state_of(quick_trainer(), room) == state);
  CHECK(state_of(Trainer(recipe_named("quick"), kSeed + 1, kMaxCheckers, 1), room) != state);
  const NetworkFile start = quick_trainer().result();
  CHECK(start.networks.contact.hidden == recipe_named("quick").contact_hidden);
  CHECK(start.networks.race.hidden == recipe_named("quick").race_hidden);
  CHECK(start.card == NetworkCard{"quick", 0, kSeed, kMaxCheckers, "", "money"});
}

TEST_CASE("the report of an iteration describes the games that it played") {
  const Room room;
  Trainer trainer = quick_trainer();
  for (const std::uint64_t first_game : {0u, 200u}) {
    const Networks weights = current_weights(trainer, room);
    const IterationReport report = trainer.run_iteration();
    CHECK(report.games == first_game + 200);
    CHECK(trainer.games() == first_game + 200);
    double plies = 0.0;
    double gammons = 0.0;
    for (std::uint64_t game = first_game; game < first_game + 200; ++game) {
      if (game % 4 >= 2) continue;  // there other plays than the best are tried
      const GameRecord record = game_of(weights, game);
      plies += static_cast<double>(record.positions.size() - 1);
      const Outcome outcome = oracle::outcome(record.positions.back()).value();
      gammons += outcome == Outcome::kLoseSingle || outcome == Outcome::kWinSingle ? 0.0 : 1.0;
    }
    CHECK(report.plies_per_game == Approx(plies / 100.0));
    CHECK(report.gammon_rate == Approx(gammons / 100.0));
    const OutcomeDistribution before_dice = plain_forward(weights, start_position());
    CHECK(report.predicted_gammon_rate == Approx(before_dice.win_gammon_or_better_probability() +
                                                 before_dice.lose_gammon_or_worse_probability())
                                              .epsilon(1e-4));
    CHECK_FALSE(report.strength);
    // Between certainty and all six outcomes being as likely.
    CHECK(report.loss > 0.0);
    CHECK(report.loss < std::log(6.0) + 0.1);
  }
}

TEST_CASE("a run saved and resumed on other threads equals the uninterrupted one to the bit") {
  const Room room;
  Trainer straight = quick_trainer();
  const std::vector<IterationReport> expected = run(straight, 4);

  Trainer first = quick_trainer(2);
  std::vector<IterationReport> reports = run(first, 1);
  first.save_checkpoint(room / "one");
  Trainer second = Trainer::resumed(room / "one", 1);
  CHECK(second.games() == first.games());
  CHECK(second.seed() == kSeed);
  CHECK(second.checkers() == kMaxCheckers);
  CHECK(second.recipe().name == "quick");
  for (const IterationReport& report : run(second, 2)) reports.push_back(report);
  second.save_checkpoint(room / "three");
  Trainer third = Trainer::resumed(room / "three", 2);
  for (const IterationReport& report : run(third, 1)) reports.push_back(report);

  REQUIRE(reports.size() == expected.size());
  for (std::size_t i = 0; i < reports.size(); ++i) check_equal(reports[i], expected[i]);
  CHECK(third.result() == straight.result());
  CHECK(state_of(third, room) == state_of(straight, room));
  CHECK(state_of(second, room) != state_of(straight, room));
}

TEST_CASE("a run ends with its last game") {
  Recipe recipe = recipe_named("quick");
  recipe.name = "short";
  recipe.games = 450;
  recipe.contact_hidden = 64;
  Trainer trainer(recipe, kSeed, kMaxCheckers, 1);
  std::vector<std::uint64_t> games;
  while (!trainer.finished()) games.push_back(trainer.run_iteration().games);
  CHECK(games == std::vector<std::uint64_t>{200, 400, 450});
  CHECK(trainer.result().card == NetworkCard{"short", 450, kSeed, kMaxCheckers, "", "money"});
}

TEST_CASE("a run of games with three checkers learns and resumes") {
  const Room room;
  Trainer straight(recipe_named("quick"), kSeed, 3, 1);
  Trainer halved(recipe_named("quick"), kSeed, 3, 1);
  run(straight, 2);
  run(halved, 1);
  halved.save_checkpoint(room / "c");
  Trainer resumed = Trainer::resumed(room / "c", 1);
  run(resumed, 1);
  CHECK(resumed.checkers() == 3);
  CHECK(resumed.result().card.checkers == 3);
  CHECK(state_of(resumed, room) == state_of(straight, room));
}

TEST_CASE("games begin at the given positions in turn, after a resumption too") {
  const Room room;
  const std::vector<Position> starts{parse_position("22x2 13x3 8x2 6x4 4x4 / 13x2 8x3 6x4 5x2 2x4"),
                                     parse_position("6x5 5x5 4x5 / 6x5 5x5 4x5"),
                                     parse_position("6 / 5")};
  Recipe recipe = recipe_named("quick");
  recipe.games = 450;
  const auto fresh = [&] { return Trainer(recipe, kSeed, kMaxCheckers, 1, {.starts = starts}); };
  Trainer straight = fresh();
  const IterationReport first = straight.run_iteration();
  // A third of the games are over after a ply or two, a third are races.
  CHECK(first.plies_per_game < 40.0);
  Trainer halved = fresh();
  run(halved, 1);
  halved.save_checkpoint(room / "c");
  Trainer resumed = Trainer::resumed(room / "c", 1);
  CHECK(resumed.specialty().starts == starts);
  run(straight, 1);
  run(resumed, 1);
  CHECK(state_of(resumed, room) == state_of(straight, room));
}

TEST_CASE(
    "a run that takes luck out of its targets learns otherwise, and goes on so when resumed") {
  const Room room;
  const LuckPair luck{modest_luck_network(64, 64, 1), modest_luck_network(64, 64, 2)};
  const auto fresh = [&] { return Trainer(recipe_named("quick"), kSeed, 3, 1, {.luck = luck}); };
  Trainer straight = fresh();
  Trainer without = Trainer(recipe_named("quick"), kSeed, 3, 1);
  run(straight, 1);
  run(without, 1);
  CHECK(current_weights(straight, room).contact != current_weights(without, room).contact);
  Trainer halved = fresh();
  run(halved, 1);
  halved.save_checkpoint(room / "c");
  Trainer resumed = Trainer::resumed(room / "c", 2);
  CHECK(resumed.specialty().luck == luck);
  run(straight, 1);
  run(resumed, 1);
  CHECK(state_of(resumed, room) == state_of(straight, room));
}

TEST_CASE("a run at a score plays and learns by it, the sides taking turns, and goes on so") {
  const Room room;
  const auto fresh = [&](const char* score) {
    return Trainer(recipe_named("quick"), kSeed, 3, 1,
                   {.score = parse_score(score, own_match_equities())});
  };
  Trainer straight = fresh("gammon-go");
  const NetworkEvaluator evaluator(current_weights(straight, room));
  ChoiceScratch scratch;
  double plies = 0.0;
  for (std::uint64_t game = 0; game < 200; ++game) {
    if (game % 4 >= 2) continue;
    const char* const starters_score = game % 2 == 0 ? "gammon-go" : "gammon-save";
    plies += static_cast<double>(play_game(evaluator, start_position(3),
                                           parse_score(starters_score, own_match_equities()).worth,
                                           kSeed, game, scratch)
                                     .rolls.size());
  }
  CHECK(straight.run_iteration().plies_per_game == Approx(plies / 100.0));
  CHECK(straight.result().card.score == "gammon-go");
  Trainer halved = fresh("gammon-go");
  Trainer for_money = fresh("money");
  run(halved, 1);
  run(for_money, 1);
  halved.save_checkpoint(room / "c");
  Trainer resumed = Trainer::resumed(room / "c", 1);
  CHECK(resumed.specialty().score == parse_score("gammon-go", own_match_equities()));
  run(straight, 1);
  run(resumed, 1);
  CHECK(state_of(resumed, room) == state_of(straight, room));
  CHECK(straight.result().networks != for_money.result().networks);
}

TEST_CASE("a checkpoint keeps the width that its run was given") {
  const Room room;
  Recipe recipe = recipe_named("quick");
  recipe.contact_hidden = 192;
  Trainer(recipe, kSeed, kMaxCheckers, 1).save_checkpoint(room / "c");
  const Trainer resumed = Trainer::resumed(room / "c", 1);
  CHECK(resumed.recipe().contact_hidden == 192);
  CHECK(resumed.result().networks.contact.hidden == 192);
}

TEST_CASE("a checkpoint keeps the number of games that its run was planned for") {
  const Room room;
  Recipe recipe = recipe_named("quick");
  recipe.games = 450;
  Trainer straight(recipe, kSeed, 3, 1);
  while (!straight.finished()) straight.run_iteration();
  Trainer halved(recipe, kSeed, 3, 1);
  run(halved, 1);
  halved.save_checkpoint(room / "c");
  Trainer resumed = Trainer::resumed(room / "c", 1);
  CHECK(resumed.recipe().games == 450);
  while (!resumed.finished()) resumed.run_iteration();
  CHECK(resumed.games() == 450);
  CHECK(state_of(resumed, room) == state_of(straight, room));
  CHECK(Trainer::resumed(room / "state", 1).finished());
}

TEST_CASE("snapshots are taken at their games, survive a checkpoint and measure strength") {
  const Room room;
  Trainer young = quick_trainer();
  run(young, 1);
  save_at(young, 9'900, room / "before");
  Trainer trainer = Trainer::resumed(room / "before", 1);
  const IterationReport at_snapshot = trainer.run_iteration();
  CHECK(at_snapshot.games > 10'000);
  CHECK_FALSE(at_snapshot.strength);
  trainer.save_checkpoint(room / "then");
  const TensorFile then = read_tensors(room / "then");

  // The next measure is due at 15,000 games of the quick recipe's 100,000.
  save_at(trainer, 14'900, room / "after");
  const TensorFile file = read_tensors(room / "after");
  CHECK(file.metadata.at("snapshot_games") == "10000");
  CHECK(take_network(file, "snapshot.contact", "") == take_network(then, "contact.average", ""));
  CHECK(take_network(file, "snapshot.race", "") == take_network(then, "race.average", ""));
  Trainer alone = Trainer::resumed(room / "after", 1);
  Trainer shared = Trainer::resumed(room / "after", 2);
  const IterationReport measured = alone.run_iteration();
  REQUIRE(measured.strength);
  CHECK(measured.strength->games == measured.games);
  CHECK(measured.strength->snapshot_games == 10'000);
  CHECK(measured.strength->standard_error > 0.0);
  CHECK(measured.strength->points_per_game > 0.0);
  check_equal(shared.run_iteration(), measured);
  CHECK(state_of(alone, room) == state_of(shared, room));
}

TEST_CASE("a few thousand games make a network that beats the untrained one clearly") {
  Trainer trainer = quick_trainer();
  const NetworkEvaluator untrained(trainer.result().networks);
  const IterationReport first = trainer.run_iteration();
  IterationReport last = first;
  while (trainer.games() < 2500) last = trainer.run_iteration();
  const NetworkEvaluator trained(trainer.result().networks);
  DuelSettings settings;
  settings.pairs = 300;
  const DuelResult result = duel(trained, untrained, settings);
  INFO(result.points_per_game << " +- " << result.standard_error << " points a game");
  CHECK(result.points_per_game > 0.5);
  CHECK(result.points_per_game > 10.0 * result.standard_error);
  CHECK(result.win_fraction > 0.75);
  CHECK(last.loss < first.loss);
  CHECK(last.plies_per_game < first.plies_per_game);
}

}  // namespace sixfold
