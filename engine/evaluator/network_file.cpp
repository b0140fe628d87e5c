#include "evaluator/network_file.h"

#include <algorithm>
#include <cassert>
#include <charconv>
#include <string_view>

#include "base/hash.h"
#include "base/input_error.h"

namespace sixfold {
namespace {

constexpr const char* kLuckContact = "luck.contact";
constexpr const char* kLuckRace = "luck.race";
constexpr const char* kCube = "cube.";
constexpr const char* kSquared = "squared";

std::string tensor_name(const std::string& prefix, const char* array) {
  return prefix + "." + array;
}

/// Of the metadata that tell what becomes of hidden units.
std::string units_key(const std::string& prefix) { return prefix + ".units"; }

/// Looks into a TensorFile and knows its name for an error.
class Finder {
 public:
  Finder(const TensorFile& file, const std::string& file_name)
      : file_(file), file_name_(file_name) {}

  [[noreturn]] void refuse(const std::string& complaint, const std::string& expected) const {
    throw InputError(complaint, file_name_, expected);
  }

  [[nodiscard]] const Tensor& tensor(const std::string& name) const {
    const auto found = file_.tensors.find(name);
    if (found == file_.tensors.end()) refuse("has no tensor '" + name + "'", "");
    return found->second;
  }

  [[nodiscard]] std::string text(const std::string& key, const char* expected = "") const {
    const auto found = file_.metadata.find(key);
    if (found == file_.metadata.end()) refuse("has no metadata '" + key + "'", expected);
    return found->second;
  }

  [[nodiscard]] std::string text_or(const std::string& key, const char* other) const {
    return file_.metadata.contains(key) ? text(key) : other;
  }

  [[nodiscard]] std::uint64_t number(const char* key) const {
    const std::string digits = text(key);
    std::uint64_t value = 0;
    const char* const end = digits.data() + digits.size();
    const auto [next, error] = std::from_chars(digits.data(), end, value);
    if (error != std::errc() || next != end) {
      refuse(std::string("metadata '") + key + "' is '" + digits + "'", "a whole number");
    }
    return value;
  }

 private:
  const TensorFile& file_;
  const std::string& file_name_;
};

/// The columns of a tensor, which are units of a network.
int units_of(const Finder& finder, const std::string& name, const std::string& rows) {
  const std::vector<std::size_t>& shape = finder.tensor(name).shape;
  if (shape.size() != 2) {
    finder.refuse("tensor '" + name + "' has shape " + shape_text(shape),
                  "[" + rows + ", hidden units]");
  }
  const std::size_t units = shape[1];
  if (units == 0 || units > kMaxHidden || units % kHiddenStep != 0) {
    finder.refuse(
        "tensor '" + name + "' has " + std::to_string(units) + " hidden units",
        "a multiple of " + std::to_string(kHiddenStep) + " up to " + std::to_string(kMaxHidden));
  }
  return static_cast<int>(units);
}

/// Refuses weights that were trained with hidden units of another kind.
void check_squared(const Finder& finder, const std::string& key) {
  const std::string units = finder.text(key, kSquared);
  if (units != kSquared) finder.refuse("metadata '" + key + "' is '" + units + "'", kSquared);
}

/// Takes a tensor of the given shape, or refuses.
void take(const Finder& finder, const std::string& name, std::size_t rows, std::size_t columns,
          std::vector<float>& values) {
  const Tensor& tensor = finder.tensor(name);
  const std::vector<std::size_t> expected{rows, columns};
  if (tensor.shape != expected) {
    finder.refuse("tensor '" + name + "' has shape " + shape_text(tensor.shape),
                  shape_text(expected));
  }
  assert(tensor.values.size() == rows * columns);
  values = tensor.values;
}

CubeHead take_cube_head(const Finder& finder, const std::string& prefix, int hidden) {
  CubeHead head;
  head.hidden = hidden;
  for_each_head_array(head, [&](const char* array, std::vector<float>& values, std::size_t rows,
                                std::size_t columns) {
    take(finder, tensor_name(prefix, array), rows, columns, values);
  });
  return head;
}

NetworkCard card_of(const Finder& finder) {
  NetworkCard card;
  card.recipe = finder.text("recipe");
  card.games = finder.number("games");
  card.seed = finder.number("seed");
  const std::uint64_t checkers = finder.number("checkers");
  if (checkers < 1 || checkers > kMaxCheckers) {
    finder.refuse("is for " + std::to_string(checkers) + " checkers a side",
                  "1 to " + std::to_string(kMaxCheckers));
  }
  card.checkers = static_cast<int>(checkers);
  card.parent = finder.text("parent");
  card.score = finder.text_or("score", "money");
  return card;
}

/// Stores arrays as they are visited.
struct Adder {
  TensorFile& file;
  const std::string& prefix;

  void operator()(const char* array, const std::vector<float>& values, std::size_t rows,
                  std::size_t columns) const {
    assert(values.size() == rows * columns);
    file.tensors.insert_or_assign(tensor_name(prefix, array), Tensor{{rows, columns}, values});
  }
};

bool has_any_of(const TensorFile& file, const std::string& prefix) {
  return std::any_of(file.tensors.begin(), file.tensors.end(),
                     [&](const auto& entry) { return entry.first.starts_with(prefix); });
}

void check_format(const TensorFile& file, const Finder& finder) {
  const auto format = file.metadata.find("format");
  if (format == file.metadata.end() || format->second != kNetworkFormat) {
    finder.refuse("is not a Sixfold network", std::string("format ") + kNetworkFormat);
  }
}

void check_feature_set(const Finder& finder) {
  const std::string features = finder.text("feature_set");
  if (features == std::to_string(kFeatureSetVersion)) return;
  finder.refuse("is for feature set '" + features + "'",
                "feature set " + std::to_string(kFeatureSetVersion));
}

void check_no_others(const TensorFile& file, const Finder& finder, const NetworkFile& found) {
  const TensorFile known = to_tensors(found);
  for (const auto& [name, tensor] : file.tensors) {
    if (!known.tensors.contains(name)) {
      finder.refuse("has an unknown tensor '" + name + "'", "those of the networks only");
    }
  }
  for (const auto& [key, text] : file.metadata) {
    if (!known.metadata.contains(key)) {
      finder.refuse("has unknown metadata '" + key + "'", "those of the networks only");
    }
  }
}

std::string identity_of(const Networks& networks, const CubeHeads& cube) {
  std::uint64_t hash = kHashOfNothing;
  const auto add = [&](const char*, const std::vector<float>& values, std::size_t, std::size_t) {
    hash = hash_of_bytes(
        {reinterpret_cast<const char*>(values.data()), values.size() * sizeof(float)}, hash);
  };
  for_each_network(networks,
                   [&](const char*, const Network& network) { for_each_array(network, add); });
  for (const CubeHead& head : cube) for_each_head_array(head, add);
  constexpr std::string_view kDigits = "0123456789abcdef";
  std::string text(16, '0');
  for (std::size_t i = 0; i < text.size(); ++i) text[i] = kDigits[(hash >> (60 - 4 * i)) & 15];
  return text;
}

}  // namespace

NetworkFile load_network(const std::filesystem::path& path) {
  return from_tensors(read_tensors(path), path.string());
}

void save_network(const std::filesystem::path& path, const NetworkFile& file) {
  write_tensors(path, to_tensors(file));
}

TensorFile to_tensors(const NetworkFile& file) {
  const NetworkCard& card = file.card;
  TensorFile stored;
  stored.metadata = {{"format", kNetworkFormat},
                     {"feature_set", std::to_string(kFeatureSetVersion)},
                     {"recipe", card.recipe},
                     {"games", std::to_string(card.games)},
                     {"seed", std::to_string(card.seed)},
                     {"checkers", std::to_string(card.checkers)},
                     {"parent", card.parent},
                     {"score", card.score}};
  add_networks(stored, "", file.networks);
  if (file.luck) {
    add_luck_network(stored, kLuckContact, file.luck->contact);
    add_luck_network(stored, kLuckRace, file.luck->race);
  }
  for (std::size_t p = 0; p < file.cube.size(); ++p) {
    const std::string prefix = std::string(kCube) + kNetworks[p].first;
    for_each_head_array(file.cube[p], Adder{stored, prefix});
  }
  return stored;
}

NetworkFile from_tensors(const TensorFile& file, const std::string& file_name) {
  const Finder finder(file, file_name);
  check_format(file, finder);
  check_feature_set(finder);
  NetworkFile result;
  result.card = card_of(finder);
  result.networks = take_networks(file, "", file_name);
  if (has_any_of(file, "luck.")) {
    result.luck = LuckPair{take_luck_network(file, kLuckContact, file_name),
                           take_luck_network(file, kLuckRace, file_name)};
  }
  if (has_any_of(file, kCube)) {
    for_each_network(result.networks, [&](const char* name, const Network& network) {
      result.cube.push_back(take_cube_head(finder, std::string(kCube) + name, network.hidden));
    });
  }
  check_no_others(file, finder, result);
  return result;
}

void add_network(TensorFile& file, const std::string& prefix, const Network& network) {
  file.metadata[units_key(prefix)] = kSquared;
  for_each_array(network, Adder{file, prefix});
}

void add_networks(TensorFile& file, const std::string& prefix, const Networks& networks) {
  for_each_network(networks, [&](const char* name, const Network& network) {
    add_network(file, prefix + name, network);
  });
}

void add_luck_network(TensorFile& file, const std::string& prefix, const LuckNetwork& network) {
  for_each_luck_array(network, Adder{file, prefix});
}

Network take_network(const TensorFile& file, const std::string& prefix,
                     const std::string& file_name) {
  const Finder finder(file, file_name);
  Network network;
  network.hidden = units_of(finder, tensor_name(prefix, "first"), std::to_string(kFeatureCount));
  check_squared(finder, units_key(prefix));
  for_each_array(network, [&](const char* array, std::vector<float>& values, std::size_t rows,
                              std::size_t columns) {
    take(finder, tensor_name(prefix, array), rows, columns, values);
  });
  return network;
}

std::size_t phases_in(const TensorFile& file, const std::string& prefix) {
  std::size_t phases = kFewestPhases;
  for (std::size_t p = phases; p < kPhaseCount; ++p) {
    if (has_any_of(file, prefix + kNetworks[p].first + ".")) phases = (p | 1) + 1;
  }
  return phases;
}

Networks take_networks(const TensorFile& file, const std::string& prefix,
                       const std::string& file_name) {
  const std::size_t phases = phases_in(file, prefix);
  Networks networks;
  for (std::size_t p = 0; p < phases; ++p) {
    networks.*kNetworks[p].second = take_network(file, prefix + kNetworks[p].first, file_name);
  }
  return networks;
}

LuckNetwork take_luck_network(const TensorFile& file, const std::string& prefix,
                              const std::string& file_name) {
  const Finder finder(file, file_name);
  LuckNetwork network;
  network.units = units_of(finder, tensor_name(prefix, "facts"), std::to_string(kFactCount));
  const int width = units_of(finder, tensor_name(prefix, "first"), std::to_string(kFeatureCount));
  if (width <= network.units) {
    finder.refuse("'" + prefix + "' has no hidden units", "a first layer wider than the facts");
  }
  network.hidden = width - network.units;
  for_each_luck_array(network, [&](const char* array, std::vector<float>& values, std::size_t rows,
                                   std::size_t columns) {
    take(finder, tensor_name(prefix, array), rows, columns, values);
  });
  return network;
}

std::string network_identity(const NetworkFile& file) {
  return identity_of(file.networks, file.cube);
}

std::string evaluator_identity(const NetworkFile& file) { return identity_of(file.networks, {}); }

}  // namespace sixfold
