/// What the tests of files share: rooms for them, their bytes, refusals, and networks to store.
#pragma once

#include <stdlib.h>

#include <bit>
#include <catch2/catch.hpp>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <functional>
#include <initializer_list>
#include <iterator>
#include <limits>
#include <optional>
#include <stdexcept>
#include <string>
#include <system_error>

#include "base/input_error.h"
#include "evaluator/network_file.h"
#include "evaluator/network_fixtures.h"
#include "evaluator/safetensors.h"

namespace sixfold {

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

inline std::string read_bytes(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

inline void write_bytes(const fs::path& path, const std::string& bytes) {
  std::ofstream out(path, std::ios::binary | std::ios::trunc);
  out << bytes;
  REQUIRE(out.flush());
}

/// What the action's InputError says, or nothing if it threw none.
inline std::optional<InputError> refusal(const std::function<void()>& action) {
  try {
    action();
  } catch (const InputError& error) {
    return error;
  }
  return std::nullopt;
}

/// Requires an InputError that names the file and says `words`.
inline void require_refusal(const std::function<void()>& action, const fs::path& path,
                            const std::string& words) {
  const auto error = refusal(action);
  INFO("expected a refusal with: " << words);
  REQUIRE(error);
  CHECK(error->where() == path.string());
  CHECK_THAT(error->what(), Catch::Contains(words));
}

inline NetworkFile sample_network() {
  NetworkFile file;
  file.card = {"self-play, \"quoted\" \xc3\xa9\n",
               123'456,
               0xffff'ffff'ffff'ffff,
               3,
               "0123456789abcdef",
               "dmp"};
  file.networks = {random_network(128, 1), random_network(64, 2)};
  file.networks.contact.first[0] = -0.0f;
  file.networks.contact.first[1] = std::numeric_limits<float>::denorm_min();
  file.networks.contact.first[2] = std::numeric_limits<float>::max();
  return file;
}

inline TensorFile two_tensors() {
  TensorFile file;
  file.metadata = {{"note", "small"}};
  file.tensors["a"] = {{2}, {1.0f, -2.0f}};
  file.tensors["b"] = {{1, 1}, {0.5f}};
  return file;
}

/// Something done to a stored file, to see it refused.
using Damage = std::function<void(TensorFile&)>;

inline Damage metadata(const std::string& key, const std::string& value) {
  return [=](TensorFile& file) { file.metadata[key] = value; };
}

inline Damage without(const std::string& key) {
  return [=](TensorFile& file) { file.metadata.erase(key); };
}

inline Damage missing(const std::string& name) {
  return [=](TensorFile& file) { file.tensors.erase(name); };
}

}  // namespace sixfold
