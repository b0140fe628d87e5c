// Checkpoints that are damaged, cut short or no checkpoints at all.
#include <catch2/catch.hpp>
#include <cstdint>
#include <cstring>
#include <functional>
#include <string>
#include <utility>
#include <vector>

#include "base/input_error.h"
#include "evaluator/file_fixtures.h"
#include "train/checkpoint_fixtures.h"
#include "train/trainer.h"

namespace sixfold {
namespace {

constexpr std::uint64_t kSeed = 11;

Trainer quick_trainer() { return Trainer(recipe_named("quick"), kSeed, kMaxCheckers, 1); }

Damage misshapen(const std::string& name) {
  return [=](TensorFile& file) {
    file.tensors.at(name).shape = {file.tensors.at(name).values.size()};
  };
}

}  // namespace

TEST_CASE("damaged checkpoints are refused") {
  const Room room;
  quick_trainer().save_checkpoint(room / "whole");
  const TensorFile whole = read_tensors(room / "whole");
  const std::vector<std::pair<std::string, Damage>> cases{
      {"not a training checkpoint", without("format")},
      {"another version: sixfold.checkpoint/1", metadata("format", "sixfold.checkpoint/1")},
      {"feature set", without("feature_set")},
      {"feature set 0", metadata("feature_set", "0")},
      {"seed", without("seed")},
      {"seed", metadata("seed", "-1")},
      {"seed", metadata("seed", "18446744073709551616")},
      {"checkers", without("checkers")},
      {"checkers", metadata("checkers", "15x")},
      {"checkers", metadata("checkers", "")},
      {"games", without("games")},
      {"games", metadata("games", "many")},
      {"planned_games", without("planned_games")},
      {"planned_games", metadata("planned_games", "4e6")},
      {"iterations", without("iterations")},
      {"iterations", metadata("iterations", "1.5")},
      {"snapshot_games", without("snapshot_games")},
      {"no tensor 'snapshot.contact.first'", metadata("snapshot_games", "10000")},
      {"learning curve",
       [](TensorFile& file) {
         file.tensors["curve"] = {{3}, {1.0f, 2.0f, 3.0f}};
       }},
      {"contact.steps", without("contact.steps")},
      {"race.steps", metadata("race.steps", "?")},
      {"no tensor 'contact.weights.first'", missing("contact.weights.first")},
      {"no tensor 'contact.average.head_bias'", missing("contact.average.head_bias")},
      {"no tensor 'race.first_moment.second_bias'", missing("race.first_moment.second_bias")},
      {"no tensor 'race.second_moment.first'", missing("race.second_moment.first")},
      {"no tensor 'behind.weights.first'",
       [](TensorFile& file) {
         const Network network = take_network(file, "contact.weights", "c");
         for (const char* part : {"weights", "average", "first_moment", "second_moment"}) {
           add_network(file, std::string("mutual.") + part, network);
         }
         file.metadata["mutual.steps"] = "1";
       }},
      {"'race.weights.head_weights' has shape [192]", misshapen("race.weights.head_weights")},
      {"'contact.second_moment.second_bias'", misshapen("contact.second_moment.second_bias")},
  };
  for (const auto& [words, damage] : cases) {
    TensorFile damaged = whole;
    damage(damaged);
    write_changed(room / "c", damaged);
    require_refusal([&] { (void)Trainer::resumed(room / "c", 1); }, room / "c", words);
  }
}

TEST_CASE("a checkpoint of an unknown recipe or score is refused") {
  const Room room;
  quick_trainer().save_checkpoint(room / "whole");
  const TensorFile whole = read_tensors(room / "whole");
  const std::vector<std::pair<const char*, Damage>> cases{
      {"is not a recipe", metadata("recipe", "thorough")},
      {"is not a recipe", without("recipe")},
      {"'level' is not a known score", metadata("score", "level")},
      {"'' is not a known score", without("score")}};
  for (const auto& [words, damage] : cases) {
    TensorFile damaged = whole;
    damage(damaged);
    write_changed(room / "c", damaged);
    const auto error = refusal([&] { (void)Trainer::resumed(room / "c", 1); });
    REQUIRE(error);
    CHECK_THAT(error->what(), Catch::Contains(words));
  }
}

TEST_CASE("a checkpoint whose parts do not fit together is refused") {
  const Room room;
  quick_trainer().save_checkpoint(room / "whole");
  const TensorFile whole = read_tensors(room / "whole");
  const int other_width = recipe_named("quick").contact_hidden + kHiddenStep;
  const std::vector<std::pair<std::string, Damage>> cases{
      {"moments of another width",
       [&](TensorFile& file) {
         add_network(file, "contact.second_moment", zero_network(other_width));
       }},
      {"an average of another width",
       [&](TensorFile& file) { add_network(file, "race.average", zero_network(other_width)); }},
      {"weights that no evaluator can hold",
       [](TensorFile& file) { file.tensors.at("race.weights.first").values[0] = 1e6f; }},
      {"a width that its weights do not have",
       metadata("contact_hidden", std::to_string(other_width))},
      {"no width of the race network", without("race_hidden")},
      {"an average of another kind of units", without("contact.average.units")},
      {"more games than planned", metadata("games", "100001")},
      {"no games planned", metadata("planned_games", "0")},
      {"no start for 13 checkers", metadata("checkers", "13")},
      {"no start for -3 checkers", metadata("checkers", "-3")},
  };
  for (const auto& [what, damage] : cases) {
    TensorFile damaged = whole;
    damage(damaged);
    write_changed(room / "c", damaged);
    INFO(what);
    const auto error = refusal([&] { (void)Trainer::resumed(room / "c", 1); });
    REQUIRE(error);
    CHECK_THAT(error->where(), Catch::StartsWith((room / "c").string()));
  }
}

TEST_CASE("a checkpoint with any one bit changed is refused") {
  const Room room;
  const fs::path path = room / "c";
  quick_trainer().save_checkpoint(path);
  const std::string whole = read_bytes(path);
  std::uint64_t header = 0;
  std::memcpy(&header, whole.data(), sizeof header);
  const auto check_refused = [&](std::size_t bit) {
    std::string damaged = whole;
    damaged[bit / 8] = static_cast<char>(damaged[bit / 8] ^ (1 << bit % 8));
    write_bytes(path, damaged);
    INFO("bit " << bit % 8 << " of byte " << bit / 8);
    REQUIRE(refusal([&] { (void)Trainer::resumed(path, 1); }));
  };
  // The header has names, numbers and the hash; the data have nothing but numbers.
  for (std::size_t bit = 0; bit < header * 8; bit += 211) check_refused(bit);
  for (std::size_t bit = header * 8; bit < whole.size() * 8; bit += 399'989) check_refused(bit);
}

TEST_CASE("a checkpoint cut short anywhere is refused") {
  const Room room;
  const fs::path path = room / "c";
  quick_trainer().save_checkpoint(path);
  const std::uintmax_t whole = fs::file_size(path);
  for (const std::uintmax_t length : {whole - 1, whole / 2, std::uintmax_t{4096},
                                      std::uintmax_t{100}, std::uintmax_t{7}, std::uintmax_t{0}}) {
    fs::resize_file(path, length);
    require_refusal([&] { (void)Trainer::resumed(path, 1); }, path, "");
  }
}

TEST_CASE("files that are no checkpoints are refused") {
  const Room room;
  save_network(room / "network", quick_trainer().result());
  write_bytes(room / "text", "not a checkpoint, but a line of text\n");
  require_refusal([&] { (void)Trainer::resumed(room / "network", 1); }, room / "network",
                  "not a training checkpoint");
  require_refusal([&] { (void)Trainer::resumed(room / "text", 1); }, room / "text", "");
  require_refusal([&] { (void)Trainer::resumed(room / "none", 1); }, room / "none", "no such file");
  require_refusal([&] { (void)Trainer::resumed(room / "", 1); }, room / "", "is a directory");
}

TEST_CASE("a checkpoint that can't be written is reported") {
  const Room room;
  const fs::path path = room / "missing/c";
  require_refusal([&] { quick_trainer().save_checkpoint(path); }, path, "does not exist");
  CHECK(room.count() == 0);
}

}  // namespace sixfold
