#include "evaluator/network_file.h"

#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include <bit>
#include <catch2/catch.hpp>
#include <csignal>
#include <cstdlib>
#include <cstring>
#include <fstream>
#include <functional>
#include <iterator>
#include <limits>
#include <optional>
#include <random>
#include <utility>

#include "evaluator/atomic_file.h"
#include "rules/input_error.h"

namespace sixfold {
namespace {

namespace fs = std::filesystem;

/// A directory of its own for one test.
class Room {
 public:
  Room() {
    std::string name = (fs::temp_directory_path() / "sixfold-XXXXXX").string();
    if (::mkdtemp(name.data()) == nullptr) throw std::runtime_error("no temporary directory");
    path_ = name;
  }
  Room(const Room&) = delete;
  Room& operator=(const Room&) = delete;
  ~Room() {
    std::error_code ignored;
    fs::remove_all(path_, ignored);
  }
  [[nodiscard]] fs::path operator/(const std::string& name) const { return path_ / name; }
  [[nodiscard]] std::ptrdiff_t count() const {
    return std::distance(fs::directory_iterator(path_), fs::directory_iterator());
  }

 private:
  fs::path path_;
};

std::string read_bytes(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

void write_bytes(const fs::path& path, const std::string& bytes) {
  std::ofstream out(path, std::ios::binary | std::ios::trunc);
  out << bytes;
  REQUIRE(out.flush());
}

std::string with_length(const std::string& header, const std::string& data) {
  std::string bytes(8, '\0');
  for (std::size_t i = 0; i < 8; ++i) {
    bytes[i] = static_cast<char>((header.size() >> (8 * i)) & 0xff);
  }
  return bytes + header + data;
}

std::string bytes_of(std::initializer_list<float> values) {
  std::string bytes;
  for (const float value : values) {
    const auto bits = std::bit_cast<std::uint32_t>(value);
    for (int shift = 0; shift < 32; shift += 8) {
      bytes += static_cast<char>((bits >> shift) & 0xff);
    }
  }
  return bytes;
}

/// What the action's InputError says, or nothing if it threw none.
std::optional<InputError> refusal(const std::function<void()>& action) {
  try {
    action();
  } catch (const InputError& error) {
    return error;
  }
  return std::nullopt;
}

/// Requires an InputError that names the file and says `words`.
void require_refusal(const std::function<void()>& action, const fs::path& path,
                     const std::string& words) {
  const auto error = refusal(action);
  INFO("expected a refusal with: " << words);
  REQUIRE(error);
  CHECK(error->where() == path.string());
  CHECK_THAT(error->what(), Catch::Contains(words));
}

/// A file of this header and eight bytes of data.
std::string with_header(const std::string& header) {
  return with_length(header, std::string(8, '\0'));
}

/// The same with one tensor, "a".
std::string with_entry(const std::string& entry) { return with_header(R"({"a":)" + entry + "}"); }

void require_refusal_of_bytes(const std::string& bytes, const std::string& words) {
  const Room room;
  const fs::path path = room / "damaged.safetensors";
  write_bytes(path, bytes);
  require_refusal([&] { (void)read_tensors(path); }, path, words);
}

Network random_network(int hidden, std::uint32_t seed) {
  std::mt19937 engine(seed);
  Network network = zero_network(hidden);
  for_each_array(network, [&](const char*, std::vector<float>& values, std::size_t, std::size_t) {
    for (float& value : values) {
      value = static_cast<float>(static_cast<std::int32_t>(engine())) * 0x1p-31f;
    }
  });
  return network;
}

NetworkFile sample_network() {
  NetworkFile file;
  file.card = {"self-play, \"quoted\" \xc3\xa9\n", 123'456, 0xffff'ffff'ffff'ffff, 3,
               "0123456789abcdef"};
  file.networks = {random_network(128, 1), random_network(64, 2)};
  file.networks.contact.first[0] = -0.0f;
  file.networks.contact.first[1] = std::numeric_limits<float>::denorm_min();
  file.networks.contact.first[2] = std::numeric_limits<float>::max();
  return file;
}

bool same_bits(const std::vector<float>& a, const std::vector<float>& b) {
  return a.size() == b.size() && std::memcmp(a.data(), b.data(), a.size() * sizeof(float)) == 0;
}

TensorFile two_tensors() {
  TensorFile file;
  file.metadata = {{"note", "small"}};
  file.tensors["a"] = {{2}, {1.0f, -2.0f}};
  file.tensors["b"] = {{1, 1}, {0.5f}};
  return file;
}

using Damage = std::function<void(TensorFile&)>;

Damage metadata(const std::string& key, const std::string& value) {
  return [=](TensorFile& file) { file.metadata[key] = value; };
}

Damage without(const std::string& key) {
  return [=](TensorFile& file) { file.metadata.erase(key); };
}

Damage missing(const std::string& name) {
  return [=](TensorFile& file) { file.tensors.erase(name); };
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
    data = bytes.size() - 2 * sizeof(float) * ((562 + 1 + 32) * 64 + 32 + 32 * 6 + 6);
  }
  NetworkFile file;
  std::string bytes;
  std::size_t data = 0;
};

}  // namespace

TEST_CASE("tensors come back as they were written") {
  const Room room;
  TensorFile file = two_tensors();
  file.tensors["empty"] = {{3, 0}, {}};
  file.tensors["scalar"] = {{}, {7.0f}};
  write_tensors(room / "t", file);
  CHECK(read_tensors(room / "t") == file);
  write_tensors(room / "t", {});
  CHECK(read_tensors(room / "t") == TensorFile());
}

TEST_CASE("the bytes of a tensor file are those of the format") {
  const Room room;
  write_tensors(room / "t", two_tensors());
  std::string header = R"({"__metadata__":{"note":"small"},)"
                       R"("a":{"data_offsets":[0,8],"dtype":"F32","shape":[2]},)"
                       R"("b":{"data_offsets":[8,12],"dtype":"F32","shape":[1,1]}})";
  header.append((8 - header.size() % 8) % 8, ' ');
  CHECK(read_bytes(room / "t") == with_length(header, bytes_of({1.0f, -2.0f, 0.5f})));
}

TEST_CASE("tensors are read in any order, spacing and with other fields") {
  const Room room;
  const std::string header =
      R"({ "b":{"shape":[1,1],"dtype":"F32","data_offsets":[0,4],"note":1}, )"
      R"("none":{"dtype":"F32","shape":[0],"data_offsets":[4,4]},)"
      R"("__metadata__":{"note":"small"}, "a":{"dtype":"F32","shape":[2],"data_offsets":[4,12]}})";
  write_bytes(room / "t", with_length(header, bytes_of({0.5f, 1.0f, -2.0f})));
  TensorFile expected = two_tensors();
  expected.tensors["none"] = {{0}, {}};
  CHECK(read_tensors(room / "t") == expected);
}

TEST_CASE("tensor files without a sound header are refused") {
  const auto [bytes, words] = GENERATE(table<std::string, std::string>({
      {"", "has 0 bytes only"},
      {"1234567", "has 7 bytes only"},
      {std::string(8, '\0'), "no JSON object"},
      {std::string("\x09\0\0\0\0\0\0\0{}", 10), "ends within its header"},
      {std::string("\xff\xff\xff\xff\xff\xff\xff\xff{}", 10), "header has 18446744073709551615"},
      {std::string("\x01\xe1\xf5\x05\0\0\0\0{}", 10), "header has 100000001 bytes"},
      {with_header("[]"), "no JSON object"},
      {with_header("null"), "no JSON object"},
      {with_header(" {}"), "no JSON object"},
      {with_header("{} {}"), "not JSON"},
      {with_header("{\"a\":"), "not JSON"},
      {with_header("{\"a\xff\":1}"), "not JSON"},
      {with_header(std::string("{}\0", 3)), "not JSON"},
      {with_header("{\"a\":" + std::string(1'000'000, '[')), "not JSON"},
      {with_entry("1e999"), "not JSON"},
      {with_header(R"({"__metadata__":[]})"), "metadata are no JSON object"},
      {with_header(R"({"__metadata__":{"k":1}})"), "metadata 'k' is no string"},
      {with_header(R"({"__metadata__":{"k":"1","k":"2"}})"), "two members 'k'"},
      {with_header(R"({"a":{"dtype":"F32","shape":[2],"data_offsets":[0,8]},)"
                   R"("a":{"dtype":"F32","shape":[2],"data_offsets":[0,8]}})"),
       "two members 'a'"},
  }));
  require_refusal_of_bytes(bytes, words);
}

TEST_CASE("tensor files with a bad entry are refused with the tensor's name") {
  const auto [entry, words] = GENERATE(table<std::string, std::string>({
      {std::string(100'000, '[') + std::string(100'000, ']'), "is no JSON object"},
      {"3", "is no JSON object"},
      {R"({"shape":[2],"data_offsets":[0,8]})", "has no dtype"},
      {R"({"dtype":"F32","data_offsets":[0,8]})", "has no shape"},
      {R"({"dtype":"F32","shape":[2]})", "has no data_offsets"},
      {R"({"dtype":"F64","shape":[1],"data_offsets":[0,8]})", "dtype F64; expected F32"},
      {R"({"dtype":32,"shape":[2],"data_offsets":[0,8]})", "dtype that is no string"},
      {R"({"dtype":"F32","shape":2,"data_offsets":[0,8]})", "bad shape"},
      {R"({"dtype":"F32","shape":[-2],"data_offsets":[0,8]})", "bad shape"},
      {R"({"dtype":"F32","shape":[2.0],"data_offsets":[0,8]})", "bad shape"},
      {R"({"dtype":"F32","shape":["2"],"data_offsets":[0,8]})", "bad shape"},
      {R"({"dtype":"F32","shape":[18446744073709551616],"data_offsets":[0,8]})", "bad shape"},
      {R"({"dtype":"F32","shape":{"0":2},"data_offsets":[0,8]})", "bad shape"},
      {R"({"dtype":"F32","shape":[2],"data_offsets":{"0":0}})", "bad data_offsets"},
      {R"({"dtype":"F32","shape":[2],"data_offsets":[0,-8]})", "bad data_offsets"},
      {R"({"dtype":"F32","shape":[2],"data_offsets":[8]})", "data offsets [8]"},
      {R"({"dtype":"F32","shape":[2],"data_offsets":[0,8,8]})", "data offsets [0, 8, 8]"},
      {R"({"dtype":"F32","shape":[2],"data_offsets":[8,0]})", "data offsets [8, 0]"},
      {R"({"dtype":"F32","shape":[3],"data_offsets":[0,8]})", "8 bytes of data; expected 12"},
      {R"({"dtype":"F32","shape":[],"data_offsets":[0,8]})", "shape [] has 8 bytes of data"},
      {R"({"dtype":"F32","shape":[4294967296,1073741824],"data_offsets":[0,0]})", "fits"},
      {R"({"dtype":"F32","shape":[4611686018427387904],"data_offsets":[0,0]})", "fits"},
  }));
  require_refusal_of_bytes(with_entry(entry), words);
  require_refusal_of_bytes(with_entry(entry), "tensor 'a'");
}

TEST_CASE("tensor files whose data are not covered exactly are refused") {
  const auto pair = [](const std::string& a, const std::string& b) {
    return with_header(R"({"a":{"dtype":"F32","shape":[1],"data_offsets":)" + a +
                       R"(},"b":{"dtype":"F32","shape":[1],"data_offsets":)" + b + "}}");
  };
  const auto [bytes, words] = GENERATE_COPY(table<std::string, std::string>({
      {with_entry(R"({"dtype":"F32","shape":[1099511627776],"data_offsets":[0,4398046511104]})"),
       "ends within the data of tensor 'a'"},
      {with_entry(R"({"dtype":"F32","shape":[3],"data_offsets":[0,12]})"), "ends within the data"},
      {with_entry(R"({"dtype":"F32","shape":[1],"data_offsets":[0,4]})"), "4 bytes follow"},
      {with_entry(R"({"dtype":"F32","shape":[1],"data_offsets":[4,8]})"), "hole before tensor 'a'"},
      {with_header("{}"), "8 bytes follow"},
      {pair("[0,4]", "[0,4]"), "tensor 'b' overlap"},
      {pair("[2,6]", "[0,4]"), "tensor 'a' overlap"},
      {pair("[0,4]", "[6,10]"), "ends within the data of tensor 'b'"},
  }));
  require_refusal_of_bytes(bytes, words);
}

TEST_CASE("values that are not finite are refused with the tensor's name") {
  const Room room;
  const float value =
      GENERATE(std::numeric_limits<float>::infinity(), -std::numeric_limits<float>::infinity(),
               std::numeric_limits<float>::quiet_NaN());
  const std::string header = R"({"odd":{"dtype":"F32","shape":[2],"data_offsets":[0,8]}})";
  write_bytes(room / "t", with_length(header, bytes_of({1.0f, value})));
  require_refusal([&] { (void)read_tensors(room / "t"); }, room / "t",
                  "tensor 'odd' has a value that is not finite, number 1");
  TensorFile file;
  file.tensors["odd"] = {{2}, {1.0f, value}};
  require_refusal([&] { write_tensors(room / "new", file); }, room / "new", "'odd'");
  CHECK(room.count() == 1);
}

TEST_CASE("text that is not UTF-8 is not written") {
  const Room room;
  TensorFile file = two_tensors();
  file.metadata["note"] = "\xff";
  require_refusal([&] { write_tensors(room / "t", file); }, room / "t", "not UTF-8");
  CHECK(room.count() == 0);
}

TEST_CASE("what is no file is not read") {
  const Room room;
  const fs::path pipe = room / "pipe";
  REQUIRE(::mkfifo(pipe.c_str(), 0600) == 0);
  require_refusal([&] { (void)read_tensors(room / "none"); }, room / "none", "no such file");
  require_refusal([&] { (void)read_tensors(room / ""); }, room / "", "is a directory");
  require_refusal([&] { (void)read_tensors(pipe); }, pipe, "not a regular file");
  require_refusal([&] { (void)load_network(room / "none"); }, room / "none", "no such file");
}

TEST_CASE("an atomic write replaces a file and leaves nothing beside it") {
  const Room room;
  const std::string large(3'000'000, 'x');
  write_file_atomically(room / "f", large);
  CHECK(read_bytes(room / "f") == large);
  write_file_atomically(room / "f", "short");
  CHECK(read_bytes(room / "f") == "short");
  write_file_atomically(room / "f", "");
  CHECK(read_bytes(room / "f").empty());
  CHECK(room.count() == 1);
}

TEST_CASE("an atomic write passes by what a killed process left") {
  const Room room;
  const std::string left = "f.partial-" + std::to_string(::getpid()) + "-0";
  write_bytes(room / left, "half");
  write_file_atomically(room / "f", "whole");
  CHECK(read_bytes(room / "f") == "whole");
  CHECK(read_bytes(room / left) == "half");
  CHECK(room.count() == 2);
}

TEST_CASE("an atomic write takes a name without a directory") {
  const Room room;
  const fs::path before = fs::current_path();
  fs::current_path(room / "");
  write_file_atomically("f", "text");
  fs::current_path(before);
  CHECK(read_bytes(room / "f") == "text");
  CHECK(room.count() == 1);
}

TEST_CASE("an atomic write refuses directories, devices and places that are missing") {
  const Room room;
  write_bytes(room / "file", "kept");
  fs::create_directory(room / "directory");
  fs::create_symlink("/dev/null", room / "device");
  REQUIRE(::mkfifo((room / "pipe").c_str(), 0600) == 0);
  const auto [name, words] = GENERATE(table<std::string, std::string>({
      {"directory", "names a directory"},
      {"directory/", "names a directory"},
      {"directory/.", "names a directory"},
      {"new/", "names a directory"},
      {"device", "a device, a pipe"},
      {"pipe", "a device, a pipe"},
      {"missing/f", "does not exist"},
      {"missing/deeper/f", "does not exist"},
      {"file/f", "is not a directory"},
      {std::string(255, 'n'), "cannot be written: "},
  }));
  const fs::path path = room / name;
  require_refusal([&] { write_file_atomically(path, "text"); }, path, words);
  require_refusal([&] { save_network(path, sample_network()); }, path, words);
  CHECK(room.count() == 4);
  CHECK(fs::is_empty(room / "directory"));
  CHECK(read_bytes(room / "file") == "kept");
}

TEST_CASE("an atomic write refuses an empty name") {
  require_refusal([] { write_file_atomically("", "text"); }, "", "names a directory");
}

TEST_CASE("an atomic write refuses a directory that takes no files") {
  if (!fs::is_directory("/proc/self")) return;
  const fs::path path = "/proc/self/sixfold";
  require_refusal([&] { write_file_atomically(path, "text"); }, path, "cannot be written");
}

TEST_CASE("a write that fails half-way keeps the old file and leaves no other") {
  const Room room;
  write_file_atomically(room / "f", "old");
  // A limit on the size of files stands in for a full disk: the same call fails at the same place.
  rlimit before{};
  REQUIRE(::getrlimit(RLIMIT_FSIZE, &before) == 0);
  const auto handler = std::signal(SIGXFSZ, SIG_IGN);
  rlimit limit = before;
  limit.rlim_cur = 100'000;
  REQUIRE(::setrlimit(RLIMIT_FSIZE, &limit) == 0);
  const auto text = refusal([&] { write_file_atomically(room / "f", std::string(200'000, 'x')); });
  const auto network = refusal([&] { save_network(room / "g", sample_network()); });
  ::setrlimit(RLIMIT_FSIZE, &before);
  std::signal(SIGXFSZ, handler);
  REQUIRE(text);
  CHECK_THAT(text->what(), Catch::Contains("cannot be written") && Catch::Contains("with room"));
  REQUIRE(network);
  CHECK(network->where() == (room / "g").string());
  CHECK(read_bytes(room / "f") == "old");
  CHECK(room.count() == 1);
}

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
  CHECK(stored.metadata.at("feature_set") == "1");
  CHECK(stored.metadata.at("games") == "123456");
  CHECK(stored.metadata.at("seed") == "18446744073709551615");
  CHECK(stored.metadata.at("checkers") == "3");
  CHECK(stored.metadata.at("parent") == "0123456789abcdef");
  CHECK(stored.metadata.size() == 7);
  CHECK(from_tensors(stored, "n") == sample_network());
}

TEST_CASE("a network at either end of the widths is taken") {
  NetworkFile file;
  file.networks = {zero_network(kMaxHidden), zero_network(kHiddenStep)};
  CHECK(from_tensors(to_tensors(file), "n") == file);
}

TEST_CASE("files of another format and files with a bad card are refused") {
  require_refusals({
      {"not a Sixfold network", without("format")},
      {"not a Sixfold network", metadata("format", "sixfold.network/2")},
      {"not a Sixfold network", [](TensorFile& file) { file = two_tensors(); }},
      {"not a Sixfold network", [](TensorFile& file) { file = {}; }},
      {"no metadata 'feature_set'", without("feature_set")},
      {"feature set '2'; expected feature set 1", metadata("feature_set", "2")},
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
      {"shape [561, 128]; expected [562, 128]", shaped("contact.first", {561, 128})},
      {"shape [71936]; expected [562, hidden units]", shaped("contact.first", {562 * 128})},
      {"0 hidden units; expected a multiple of 64 up to 1024", shaped("race.first", {562, 0})},
      {"65 hidden units", shaped("race.first", {562, 65})},
      {"1088 hidden units", shaped("race.first", {562, 1088})},
      {"'race.first_bias' has shape [1, 64]; expected [1, 128]", shaped("race.first", {562, 128})},
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
  const std::size_t values = (562 + 1 + 32) * (64 + 128) + 2 * (32 + 32 * 6 + 6);
  std::uint64_t expected = 0xcbf29ce484222325;
  for (std::size_t i = 0; i < 4 * values; ++i) expected *= 0x100000001b3;
  CHECK(std::stoull(network_identity(file), nullptr, 16) == expected);
}

}  // namespace sixfold
