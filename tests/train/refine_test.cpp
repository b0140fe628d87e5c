// Runs that start from another network, and those with several networks for contact.
#include <catch2/catch.hpp>

#include "base/input_error.h"
#include "evaluator/luck_fixtures.h"
#include "evaluator/network_fixtures.h"
#include "train/trainer_fixtures.h"

namespace sixfold {

TEST_CASE("a run that refines starts from another's weights, in its widths, and goes on so") {
  const Room room;
  NetworkFile parent;
  parent.networks = {modest_network(192, 1), modest_network(64, 2)};
  parent.card.checkers = 3;
  const LuckPair luck{modest_luck_network(64, 64, 1), modest_luck_network(64, 64, 2)};
  const auto fresh = [&] {
    return Trainer(recipe_named("refine"), kSeed, parent, 1, {.luck = luck});
  };
  CHECK(current_weights(fresh(), room) == parent.networks);
  Trainer straight = fresh();
  run(straight, 1);
  Trainer halved = fresh();
  run(halved, 1);
  halved.save_checkpoint(room / "c");
  Trainer resumed = Trainer::resumed(room / "c", 2);
  CHECK(resumed.specialty().parent == network_identity(parent));
  run(straight, 1);
  run(resumed, 1);
  CHECK(state_of(resumed, room) == state_of(straight, room));
  const NetworkFile result = straight.result();
  CHECK(result.card == NetworkCard{"refine", 400, kSeed, 3, network_identity(parent), "money"});
  CHECK(result.networks.contact.hidden == 192);
  CHECK(result.networks.race.hidden == 64);
}

TEST_CASE("a run that refines leaves units out where fewer are asked for, and refuses more") {
  NetworkFile parent;
  parent.networks = {modest_network(128, 1), modest_network(64, 2)};
  parent.card.checkers = 3;
  Recipe recipe = recipe_named("refine");
  recipe.contact_hidden = 64;
  const Trainer narrower(recipe, kSeed, parent, 1);
  CHECK(narrower.recipe().contact_hidden == 64);
  CHECK(narrower.specialty().parent == network_identity(parent));
  CHECK(narrower.result().networks.contact.hidden == 64);
  recipe.contact_hidden = 192;
  const auto error = refusal([&] { Trainer(recipe, kSeed, parent, 1); });
  REQUIRE(error);
  CHECK(error->expected() == "at most 128");
}

TEST_CASE("a run of several networks for contact goes on from its checkpoint to the bit") {
  const Room room;
  Recipe recipe = recipe_named("quick");
  recipe.phases = GENERATE(4u, 6u);
  recipe.contact_hidden = 64;
  Trainer straight(recipe, kSeed, kMaxCheckers, 1);
  const NetworkFile start = straight.result();
  REQUIRE(start.networks.phases() == recipe.phases);
  CHECK(start.networks.mutual.hidden == 64);
  CHECK(start.networks.mutual != start.networks.behind);
  CHECK(start.networks.mutual != start.networks.contact);
  run(straight, 1);
  straight.save_checkpoint(room / "c");
  Trainer resumed = Trainer::resumed(room / "c", 2);
  CHECK(resumed.recipe().phases == recipe.phases);
  run(straight, 1);
  run(resumed, 1);
  CHECK(state_of(resumed, room) == state_of(straight, room));
  const NetworkFile learnt = straight.result();
  for (std::size_t p = 0; p < recipe.phases; ++p) {
    const auto phase = static_cast<Phase>(p);
    CHECK(learnt.networks.stored_for(phase) != start.networks.stored_for(phase));
  }
}

TEST_CASE("a run that splits a network's contact starts with the same values") {
  const Room room;
  NetworkFile parent;
  parent.networks = {modest_network(128, 1), modest_network(64, 2)};
  parent.card.checkers = 3;
  Recipe recipe = recipe_named("refine");
  recipe.phases = 4;
  const NetworkFile three = Trainer(recipe, kSeed, parent, 1).result();
  CHECK(three.networks.phases() == 4);
  recipe.phases = 6;
  const NetworkFile five = Trainer(recipe, kSeed, three, 1).result();
  CHECK(five.networks.phases() == 6);
  const NetworkEvaluator before(parent.networks);
  const NetworkEvaluator after(five.networks);
  for (std::uint64_t game = 0; game < 10; ++game) {
    for (const Position& position : game_of(parent.networks, game).positions) {
      CHECK(after.evaluate(position) == before.evaluate(position));
    }
  }
  // From there on the parent is split itself, whatever the recipe says.
  recipe.phases = kFewestPhases;
  CHECK(Trainer(recipe, kSeed, three, 1).recipe().phases == 4);
  CHECK(Trainer(recipe, kSeed, five, 1).recipe().phases == 6);
}

TEST_CASE("a run that looks at rolls to mend luck learns otherwise") {
  const Room room;
  const LuckPair luck{modest_luck_network(64, 64, 1), modest_luck_network(64, 64, 2)};
  Recipe recipe = recipe_named("refine");
  recipe.contact_hidden = recipe.race_hidden = 64;
  Trainer mended(recipe, kSeed, 3, 1, {.luck = luck});
  recipe.looked_at = 0;
  Trainer taken(recipe, kSeed, 3, 1, {.luck = luck});
  run(mended, 1);
  run(taken, 1);
  CHECK(current_weights(mended, room).contact != current_weights(taken, room).contact);
}

}  // namespace sixfold
