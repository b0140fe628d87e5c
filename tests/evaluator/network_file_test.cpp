#include "evaluator/network_file.h"

#include <catch2/catch.hpp>
#include <cstring>
#include <fstream>
#include <functional>
#include <string>
#include <utility>
#include <vector>

#include "evaluator/file_fixtures.h"

namespace sixfold {
namespace {

bool same_bits(const std::vector<float>& a, const std::vector<float>& b) {
  return a.size() == b.size() && std::memcmp(a.data(), b.data(), a.size() * sizeof(float)) == 0;
}

Damage shaped(const std::string& name, const std::vector<std::size_t>& shape) {
  return [=](TensorFile& file) {
    std::size_t size = 1;
    for (const std::size_t length : shape) size *= length;
    file.tensors[name] = {shape, std::vector<float>(size)};
  };
}

/// Requires that a network file with each damage is refused in these words.
void require_refusals(const std::vector<std::pair<std::string, Damage>>& cases) {
  const Room room;
  const TensorFile whole = to_tensors(sample_network());
  for (const auto& [words, damage] : cases) {
    TensorFile damaged = whole;
    damage(damaged);
    write_tensors(room / "n", damaged);
    require_refusal([&] { (void)load_network(room / "n"); }, room / "n", words);
    require_refusal([&] { (void)from_tensors(damaged, "memory"); }, "memory", words);
  }
}

/// A saved network and how many bytes stand before its data.
struct SavedNetwork {
  explicit SavedNetwork(const fs::path& path) {
    file = sample_network();
    file.networks = {random_network(64, 3), random_network(64, 4)};
    save_network(path, file);
    bytes = read_bytes(path);
    data = bytes.size() - 2 * sizeof(float) * ((958 + 1 + 32) * 64 + 32 + 32 * 6 + 6);
  }
  NetworkFile file;
  std::string bytes;
  std::size_t data = 0;
};

}  // namespace

TEST_CASE("a network comes back from its file to the bit") {
  const Room room;
  const NetworkFile saved = sample_network();
  save_network(room / "n", saved);
  const NetworkFile loaded = load_network(room / "n");
  CHECK(loaded == saved);
  CHECK(same_bits(loaded.networks.contact.first, saved.networks.contact.first));
  CHECK(network_identity(loaded) == network_identity(saved));
}

TEST_CASE("equal networks have files of equal bytes") {
  const Room room;
  save_network(room / "a", sample_network());
  save_network(room / "b", sample_network());
  save_network(room / "c", load_network(room / "a"));
  const std::string bytes = read_bytes(room / "a");
  CHECK(read_bytes(room / "b") == bytes);
  CHECK(read_bytes(room / "c") == bytes);
  const auto header = static_cast<unsigned char>(bytes[0]);
  CHECK(header % 8 == 0);
}

TEST_CASE("a network file stores both networks and the card under their names") {
  const TensorFile stored = to_tensors(sample_network());
  CHECK(stored.tensors.size() == 12);
  CHECK(stored.tensors.at("contact.first").shape == std::vector<std::size_t>{kFeatureCount, 128});
  CHECK(stored.tensors.at("race.second_weights").shape == std::vector<std::size_t>{64, 32});
  CHECK(stored.tensors.at("race.head_bias").shape == std::vector<std::size_t>{1, 6});
  CHECK(stored.metadata.at("format") == "sixfold.network/1");
  CHECK(stored.metadata.at("feature_set") == "2");
  CHECK(stored.metadata.at("games") == "123456");
  CHECK(stored.metadata.at("seed") == "18446744073709551615");
  CHECK(stored.metadata.at("checkers") == "3");
  CHECK(stored.metadata.at("parent") == "0123456789abcdef");
  CHECK(stored.metadata.at("score") == "dmp");
  CHECK(stored.metadata.size() == 10);
  CHECK(from_tensors(stored, "n") == sample_network());
  TensorFile without_score = stored;
  without_score.metadata.erase("score");
  CHECK(from_tensors(without_score, "n").card.score == "money");
}

TEST_CASE("networks for other kinds of contact come back too, and count for the identity") {
  NetworkFile file = sample_network();
  const std::string unsplit = network_identity(file);
  file.networks.mutual = random_network(64, 5);
  file.networks.behind = random_network(128, 6);
  const TensorFile stored = to_tensors(file);
  CHECK(stored.tensors.size() == 24);
  CHECK(stored.tensors.at("behind.first").shape == std::vector<std::size_t>{kFeatureCount, 128});
  CHECK(from_tensors(stored, "n") == file);
  const std::string split = network_identity(file);
  CHECK(split != unsplit);
  file.networks.behind.head_bias[0] += 1.0f;
  CHECK(network_identity(file) != split);
  TensorFile half = stored;
  std::erase_if(half.tensors, [](const auto& entry) { return entry.first.starts_with("behind."); });
  require_refusal([&] { (void)from_tensors(half, "n"); }, "n", "no tensor 'behind.first'");
  file.networks.mutual_bar = random_network(64, 7);
  file.networks.behind_bar = random_network(64, 8);
  TensorFile five = to_tensors(file);
  CHECK(five.tensors.size() == 36);
  CHECK(from_tensors(five, "n") == file);
  std::erase_if(five.tensors,
                [](const auto& entry) { return entry.first.starts_with("behind_bar."); });
  require_refusal([&] { (void)from_tensors(five, "n"); }, "n", "no tensor 'behind_bar.first'");
}

TEST_CASE("a network at either end of the widths is taken") {
  NetworkFile file;
  file.networks = {zero_network(kMaxHidden), zero_network(kHiddenStep)};
  CHECK(from_tensors(to_tensors(file), "n") == file);
}

TEST_CASE("a network whose hidden units are not said to be squared is refused") {
  const TensorFile stored = to_tensors(sample_network());
  CHECK(stored.metadata.at("contact.units") == "squared");
  CHECK(stored.metadata.at("race.units") == "squared");
  require_refusals({
      {"'contact.units' is 'plain'; expected squared", metadata("contact.units", "plain")},
      {"'race.units' is 'round'; expected squared", metadata("race.units", "round")},
      {"'race.units' is ''; expected squared", metadata("race.units", "")},
      {"no metadata 'contact.units'; expected squared", without("contact.units")},
      {"no metadata 'race.units'; expected squared", without("race.units")},
  });
}

TEST_CASE("a network of feature set 1, which had 562 inputs, is refused for that") {
  require_refusals({{"is for feature set '1'; expected feature set 2", [](TensorFile& file) {
                       file.metadata.at("feature_set") = "1";
                       for (const char* name : {"contact.first", "race.first"}) {
                         Tensor& tensor = file.tensors.at(name);
                         tensor.shape[0] = 562;
                         tensor.values.resize(562 * tensor.shape[1]);
                       }
                     }}});
}

TEST_CASE("files of another format and files with a bad card are refused") {
  require_refusals({
      {"not a Sixfold network", without("format")},
      {"not a Sixfold network", metadata("format", "sixfold.network/2")},
      {"not a Sixfold network", [](TensorFile& file) { file = two_tensors(); }},
      {"not a Sixfold network", [](TensorFile& file) { file = {}; }},
      {"no metadata 'feature_set'", without("feature_set")},
      {"feature set '3'; expected feature set 2", metadata("feature_set", "3")},
      {"feature set ''", metadata("feature_set", "")},
      {"no metadata 'recipe'", without("recipe")},
      {"no metadata 'games'", without("games")},
      {"no metadata 'seed'", without("seed")},
      {"no metadata 'checkers'", without("checkers")},
      {"no metadata 'parent'", without("parent")},
      {"'games' is 'many'", metadata("games", "many")},
      {"'games' is ''", metadata("games", "")},
      {"'games' is '12 '", metadata("games", "12 ")},
      {"'games' is '-1'", metadata("games", "-1")},
      {"'seed' is '18446744073709551616'", metadata("seed", "18446744073709551616")},
      {"0 checkers", metadata("checkers", "0")},
      {"16 checkers", metadata("checkers", "16")},
      {"4294967297 checkers", metadata("checkers", "4294967297")},
  });
}

TEST_CASE("networks with missing, unknown or misshapen tensors are refused") {
  require_refusals({
      {"no tensor 'contact.first'", missing("contact.first")},
      {"no tensor 'contact.head_bias'", missing("contact.head_bias")},
      {"no tensor 'race.second_weights'", missing("race.second_weights")},
      {"unknown tensor 'contact.third'", shaped("contact.third", {1})},
      {"unknown tensor 'first'", shaped("first", {kFeatureCount, 64})},
      {"shape [957, 128]; expected [958, 128]", shaped("contact.first", {957, 128})},
      {"shape [122624]; expected [958, hidden units]", shaped("contact.first", {958 * 128})},
      {"0 hidden units; expected a multiple of 64 up to 1024", shaped("race.first", {958, 0})},
      {"65 hidden units", shaped("race.first", {958, 65})},
      {"1088 hidden units", shaped("race.first", {958, 1088})},
      {"'race.first_bias' has shape [1, 64]; expected [1, 128]", shaped("race.first", {958, 128})},
      {"'race.first_bias' has shape [64]; expected [1, 64]", shaped("race.first_bias", {64})},
      {"shape [32, 64]; expected [64, 32]", shaped("race.second_weights", {32, 64})},
      {"shape [1, 33]; expected [1, 32]", shaped("race.second_bias", {1, 33})},
      {"shape [32, 5]; expected [32, 6]", shaped("contact.head_weights", {32, 5})},
      {"shape [1, 6, 1]; expected [1, 6]", shaped("contact.head_bias", {1, 6, 1})},
  });
}

TEST_CASE("a network file cut short anywhere is refused") {
  const Room room;
  const fs::path path = room / "n";
  const SavedNetwork saved(path);
  for (std::size_t length = saved.bytes.size(); length-- > 0;) {
    const bool near_an_end = length < saved.data + 64 || length + 64 > saved.bytes.size();
    if (!near_an_end && length % 4099 != 0) continue;
    fs::resize_file(path, length);
    require_refusal([&] { (void)load_network(path); }, path, "");
  }
  write_bytes(path, saved.bytes + '\0');
  require_refusal([&] { (void)load_network(path); }, path, "1 bytes follow");
}

TEST_CASE("a network file with a bit of its header flipped is refused or differs in its card") {
  const Room room;
  const fs::path path = room / "n";
  const SavedNetwork saved(path);
  std::fstream stream(path, std::ios::binary | std::ios::in | std::ios::out);
  const auto put = [&](std::size_t place, char byte) {
    stream.seekp(static_cast<std::streamoff>(place)).put(byte).flush();
  };
  std::size_t refused = 0;
  for (std::size_t bit = 0; bit < 8 * saved.data; ++bit) {
    const char byte = saved.bytes[bit / 8];
    put(bit / 8, static_cast<char>(byte ^ (1 << (bit % 8))));
    const auto error = refusal([&] {
      const NetworkFile loaded = load_network(path);
      if (loaded.networks != saved.file.networks) throw std::runtime_error("other weights");
      if (loaded.card == saved.file.card) throw std::runtime_error("the damage went unseen");
    });
    put(bit / 8, byte);
    if (error && error->where() != path.string()) FAIL(error->what());
    if (error) ++refused;
  }
  REQUIRE(stream);
  CHECK(refused > 8 * saved.data * 3 / 4);
  CHECK(load_network(path) == saved.file);
}

TEST_CASE("networks are stored beside others and taken by their prefix") {
  TensorFile file = two_tensors();
  const Network best = random_network(64, 4);
  const Network mean = random_network(128, 5);
  add_network(file, "best", random_network(64, 6));
  add_network(file, "best", best);
  add_network(file, "best.mean", mean);
  CHECK(file.tensors.size() == 2 + 12);
  CHECK(take_network(file, "best", "checkpoint") == best);
  CHECK(take_network(file, "best.mean", "checkpoint") == mean);
  require_refusal([&] { (void)take_network(file, "worst", "checkpoint"); }, "checkpoint",
                  "no tensor 'worst.first'");
}

TEST_CASE("a network's identity follows its weights only") {
  NetworkFile file = sample_network();
  const std::string identity = network_identity(file);
  CHECK(identity.size() == 16);
  CHECK(identity.find_first_not_of("0123456789abcdef") == std::string::npos);
  file.card = {};
  CHECK(network_identity(file) == identity);
  std::swap(file.networks.contact, file.networks.race);
  CHECK(network_identity(file) != identity);
  std::swap(file.networks.contact, file.networks.race);
  file.networks.race.head_bias[5] += 1.0f;
  CHECK(network_identity(file) != identity);
}

TEST_CASE("the identity of networks of zeros is the hash's start times powers of its prime") {
  NetworkFile file;
  file.networks = {zero_network(64), zero_network(128)};
  const std::size_t values = (958 + 1 + 32) * (64 + 128) + 2 * (32 + 32 * 6 + 6);
  std::uint64_t expected = 0xcbf29ce484222325;
  for (std::size_t i = 0; i < 4 * values; ++i) expected *= 0x100000001b3;
  CHECK(std::stoull(network_identity(file), nullptr, 16) == expected);
}

}  // namespace sixfold
