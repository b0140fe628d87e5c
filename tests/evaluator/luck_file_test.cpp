#include <catch2/catch.hpp>
#include <cstddef>
#include <string>
#include <utility>
#include <vector>

#include "evaluator/file_fixtures.h"
#include "evaluator/luck_fixtures.h"
#include "evaluator/network_file.h"

namespace sixfold {
namespace {

NetworkFile file_with_luck() {
  NetworkFile file = sample_network();
  file.luck = LuckPair{random_luck_network(64, 128, 3), random_luck_network(128, 64, 4)};
  return file;
}

/// Gives a tensor another shape, with as many zeros as that needs.
Damage shaped(const std::string& name, const std::vector<std::size_t>& shape) {
  return [=](TensorFile& file) {
    std::size_t size = 1;
    for (const std::size_t length : shape) size *= length;
    file.tensors[name] = {shape, std::vector<float>(size)};
  };
}

Damage without_all_but(const std::string& kept) {
  return [=](TensorFile& file) {
    std::erase_if(file.tensors, [&](const auto& entry) {
      return entry.first.starts_with("luck.") && entry.first != kept;
    });
  };
}

const std::vector<std::string> kArrays{"first",        "first_bias", "facts",
                                       "gate_weights", "gate_bias",  "outcomes"};

}  // namespace

TEST_CASE("luck networks come back from their file to the bit") {
  const Room room;
  const NetworkFile saved = file_with_luck();
  CHECK(from_tensors(to_tensors(saved), "n") == saved);
  save_network(room / "n", saved);
  const NetworkFile loaded = load_network(room / "n");
  CHECK(loaded == saved);
  save_network(room / "again", loaded);
  CHECK(read_bytes(room / "again") == read_bytes(room / "n"));
}

TEST_CASE("a network file stores luck networks under their names") {
  const TensorFile stored = to_tensors(file_with_luck());
  CHECK(stored.tensors.size() == 12 + 2 * kArrays.size());
  for (const std::string prefix : {"luck.contact.", "luck.race."}) {
    for (const std::string& array : kArrays) CHECK(stored.tensors.contains(prefix + array));
  }
  using Shape = std::vector<std::size_t>;
  CHECK(stored.tensors.at("luck.contact.first").shape == Shape{kFeatureCount, 64 + 128});
  CHECK(stored.tensors.at("luck.contact.first_bias").shape == Shape{1, 64 + 128});
  CHECK(stored.tensors.at("luck.contact.facts").shape == Shape{kFactCount, 64});
  CHECK(stored.tensors.at("luck.contact.gate_weights").shape == Shape{128, 64});
  CHECK(stored.tensors.at("luck.contact.gate_bias").shape == Shape{1, 64});
  CHECK(stored.tensors.at("luck.contact.outcomes").shape == Shape{64, kOutcomeCount});
  CHECK(stored.tensors.at("luck.race.gate_weights").shape == Shape{64, 128});
  CHECK(stored.metadata == to_tensors(sample_network()).metadata);
}

TEST_CASE("a file without luck networks has none, and those of an evaluator stay as they were") {
  const Room room;
  NetworkFile file = sample_network();
  save_network(room / "n", file);
  const NetworkFile loaded = load_network(room / "n");
  CHECK_FALSE(loaded.luck.has_value());
  CHECK(loaded == file);
  CHECK(loaded != file_with_luck());
}

TEST_CASE("luck networks don't change an evaluator's identity") {
  NetworkFile file = file_with_luck();
  const std::string identity = network_identity(sample_network());
  CHECK(network_identity(file) == identity);
  file.luck->race.outcomes[0] += 1.0f;
  CHECK(network_identity(file) == identity);
}

TEST_CASE("a file with only a part of the luck networks is refused by what it lacks") {
  const TensorFile whole = to_tensors(file_with_luck());
  for (const std::string prefix : {"luck.contact.", "luck.race."}) {
    for (const std::string& array : kArrays) {
      TensorFile damaged = whole;
      damaged.tensors.erase(prefix + array);
      require_refusal([&] { (void)from_tensors(damaged, "memory"); }, "memory",
                      "no tensor '" + prefix + array + "'");
    }
  }
  for (const std::string kept : {"luck.contact.outcomes", "luck.race.facts", "luck.race.first"}) {
    TensorFile damaged = whole;
    without_all_but(kept)(damaged);
    require_refusal([&] { (void)from_tensors(damaged, "memory"); }, "memory",
                    "no tensor 'luck.contact.");
  }
}

TEST_CASE("misshapen and unknown tensors of luck networks are refused by name") {
  const std::vector<std::pair<std::string, Damage>> cases{
      {"unknown tensor 'luck.x'", shaped("luck.x", {1, 1})},
      {"unknown tensor 'luck.contact.second'", shaped("luck.contact.second", {1, 64})},
      {"unknown tensor 'luck.race'", shaped("luck.race", {1, 64})},
      {"'luck.contact.facts' has shape [7189, 64]; expected [7190, 64]",
       shaped("luck.contact.facts", {kFactCount - 1, 64})},
      {"'luck.contact.facts' has shape [7190]; expected [7190, hidden units]",
       shaped("luck.contact.facts", {kFactCount})},
      {"'luck.contact.facts' has 0 hidden units", shaped("luck.contact.facts", {kFactCount, 0})},
      {"'luck.race.facts' has 65 hidden units", shaped("luck.race.facts", {kFactCount, 65})},
      {"'luck.race.first' has shape [957, 192]; expected [958, 192]",
       shaped("luck.race.first", {kFeatureCount - 1, 192})},
      {"'luck.race.first' has 1088 hidden units", shaped("luck.race.first", {kFeatureCount, 1088})},
      {"'luck.race' has no hidden units", shaped("luck.race.first", {kFeatureCount, 128})},
      {"'luck.race' has no hidden units", shaped("luck.race.first", {kFeatureCount, 64})},
      {"'luck.contact.first_bias' has shape [1, 192]; expected [1, 256]",
       shaped("luck.contact.first", {kFeatureCount, 256})},
      {"'luck.contact.first_bias' has shape [192]; expected [1, 192]",
       shaped("luck.contact.first_bias", {192})},
      {"'luck.contact.gate_weights' has shape [64, 128]; expected [128, 64]",
       shaped("luck.contact.gate_weights", {64, 128})},
      {"'luck.race.gate_bias' has shape [1, 64]; expected [1, 128]",
       shaped("luck.race.gate_bias", {1, 64})},
      {"'luck.race.outcomes' has shape [128, 5]; expected [128, 6]",
       shaped("luck.race.outcomes", {128, 5})},
      {"'luck.race.outcomes' has shape [6, 128]; expected [128, 6]",
       shaped("luck.race.outcomes", {6, 128})},
  };
  const TensorFile whole = to_tensors(file_with_luck());
  for (const auto& [words, damage] : cases) {
    TensorFile damaged = whole;
    damage(damaged);
    require_refusal([&] { (void)from_tensors(damaged, "memory"); }, "memory", words);
  }
}

TEST_CASE("refusals of luck networks name the file") {
  const Room room;
  TensorFile damaged = to_tensors(file_with_luck());
  damaged.tensors.erase("luck.race.gate_bias");
  write_tensors(room / "n", damaged);
  require_refusal([&] { (void)load_network(room / "n"); }, room / "n", "luck.race.gate_bias");
}

TEST_CASE("an evaluator whose file has an unknown tensor is refused with and without luck") {
  for (const NetworkFile& file : {sample_network(), file_with_luck()}) {
    TensorFile damaged = to_tensors(file);
    shaped("lucky.contact.first", {1, 1})(damaged);
    require_refusal([&] { (void)from_tensors(damaged, "memory"); }, "memory",
                    "unknown tensor 'lucky.contact.first'");
  }
}

TEST_CASE("luck networks at either end of the widths are taken") {
  NetworkFile file;
  file.networks = {zero_network(kHiddenStep), zero_network(kHiddenStep)};
  file.luck = LuckPair{zero_luck_network(kHiddenStep, kMaxHidden - kHiddenStep),
                       zero_luck_network(kHiddenStep, kHiddenStep)};
  CHECK(from_tensors(to_tensors(file), "n") == file);
}

TEST_CASE("luck networks are stored beside others and taken by their prefix") {
  TensorFile file = two_tensors();
  const LuckNetwork best = random_luck_network(64, 64, 5);
  add_luck_network(file, "best", random_luck_network(128, 64, 6));
  add_luck_network(file, "best", best);
  CHECK(file.tensors.size() == 2 + kArrays.size());
  CHECK(take_luck_network(file, "best", "checkpoint") == best);
  require_refusal([&] { (void)take_luck_network(file, "worst", "checkpoint"); }, "checkpoint",
                  "no tensor 'worst.facts'");
}

}  // namespace sixfold
