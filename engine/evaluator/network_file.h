/// The file of an evaluator's weights, and the card that says where they came from.
///
/// A safetensors file with the tensors of for_each_array, such as "contact.first" and
/// "race.head_bias", each with two dimensions [rows, columns]; vectors have one row. Those of
/// "mutual_bar" and "behind_bar" may all be missing, and so may those of "mutual" and "behind"
/// besides. "cube.contact.hidden_weights" and so on are the heads of evaluator/cube_head.h: one for
/// each network, or none. Metadata:
///
///   format       "sixfold.network/1"
///   feature_set  kFeatureSetVersion
///   contact.units, race.units and so on    "squared", for each network but those of luck
///   recipe, games, seed, checkers, parent, score    the card; numbers are decimal; no score is
///                                                    money
///
/// All functions that read throw InputError for what they refuse. Safe to use from any thread.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>

#include "evaluator/cube_head.h"
#include "evaluator/luck_network.h"
#include "evaluator/network.h"
#include "evaluator/safetensors.h"

namespace sixfold {

inline constexpr const char* kNetworkFormat = "sixfold.network/1";

struct NetworkCard {
  std::string recipe;       ///< how it was trained
  std::uint64_t games = 0;  ///< played to train it
  std::uint64_t seed = 0;
  int checkers = kMaxCheckers;  ///< a side, in the games that it was trained on
  std::string parent;           ///< identity of the network that it was trained from, or empty
  std::string score = "money";  ///< by which its players chose
  friend bool operator==(const NetworkCard&, const NetworkCard&) = default;
};

struct NetworkFile {
  NetworkCard card;
  Networks networks;
  std::optional<LuckPair> luck;
  CubeHeads cube;  ///< Empty: what the cube adds has not been learnt.
  friend bool operator==(const NetworkFile&, const NetworkFile&) = default;
};

/// Refuses other formats and feature sets, missing and unknown tensors, and wrong shapes.
[[nodiscard]] NetworkFile load_network(const std::filesystem::path& path);

/// Writes whole or not at all; throws InputError when that fails.
void save_network(const std::filesystem::path& path, const NetworkFile& file);

/// The halves of the above that need no file; `file_name` is for messages.
[[nodiscard]] TensorFile to_tensors(const NetworkFile& file);
[[nodiscard]] NetworkFile from_tensors(const TensorFile& file, const std::string& file_name);

/// Stores a network's arrays as "prefix.first" and so on, beside what is there already.
void add_network(TensorFile& file, const std::string& prefix, const Network& network);

/// The network stored under `prefix`; other tensors don't matter.
[[nodiscard]] Network take_network(const TensorFile& file, const std::string& prefix,
                                   const std::string& file_name);

/// How many phases have networks in a file, as "prefix" + "contact.first" or longer names: of a
/// pair both count where either is there, so that the other one is missed when it is taken.
[[nodiscard]] std::size_t phases_in(const TensorFile& file, const std::string& prefix);

/// The same for all of an evaluator's networks, as "prefix" + "contact.first" and so on.
void add_networks(TensorFile& file, const std::string& prefix, const Networks& networks);
[[nodiscard]] Networks take_networks(const TensorFile& file, const std::string& prefix,
                                     const std::string& file_name);

/// The same for luck networks.
void add_luck_network(TensorFile& file, const std::string& prefix, const LuckNetwork& network);
[[nodiscard]] LuckNetwork take_luck_network(const TensorFile& file, const std::string& prefix,
                                            const std::string& file_name);

/// 16 hexadecimal digits that say which weights gave a number: 64-bit FNV-1a over the bytes of all
/// arrays in the order of for_each_array, in the order of phases, then those of the cube heads, if
/// there are any. Neither the card nor luck networks count: they change no play and no expectation.
[[nodiscard]] std::string network_identity(const NetworkFile& file);
/// The same of the networks alone, to which heads for the cube belong.
[[nodiscard]] std::string evaluator_identity(const NetworkFile& file);

}  // namespace sixfold
