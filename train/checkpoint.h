/// What the trainers' checkpoints have in common: tensor files with numbers in their metadata.
#pragma once

#include <charconv>
#include <cstdint>
#include <filesystem>
#include <string>
#include <string_view>
#include <system_error>

#include "base/format.h"
#include "base/hash.h"
#include "base/input_error.h"
#include "encoding/features.h"
#include "evaluator/safetensors.h"

namespace sixfold {

/// A text stored in a checkpoint; empty where there is none.
[[nodiscard]] inline std::string stored_text(const TensorFile& file, const std::string& key) {
  const auto entry = file.metadata.find(key);
  return entry == file.metadata.end() ? std::string() : entry->second;
}

/// A number stored as text. Throws InputError where there is none.
template <typename Number>
[[nodiscard]] Number stored_number(const TensorFile& file, const std::string& key,
                                   const std::string& where) {
  const std::string text = stored_text(file, key);
  Number value{};
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error == std::errc() && !text.empty() && end == text.data() + text.size()) return value;
  throw InputError("the checkpoint's " + key + " is missing or not a number", where,
                   "a checkpoint written by sixfold train");
}

/// Of all that is stored but for the hash itself.
[[nodiscard]] inline std::string checkpoint_hash(const TensorFile& file) {
  std::uint64_t hash = kHashOfNothing;
  const auto add = [&](std::string_view bytes) { hash = hash_step(hash, hash_of_words(bytes)); };
  for (const auto& [key, text] : file.metadata) {
    if (key == "hash") continue;
    add(key);
    add(text);
  }
  for (const auto& [name, tensor] : file.tensors) {
    add(name);
    for (const std::size_t length : tensor.shape) hash = hash_step(hash, length);
    add({reinterpret_cast<const char*>(tensor.values.data()),
         tensor.values.size() * sizeof tensor.values[0]});
  }
  return format("{:016x}", hash);
}

/// Writes a checkpoint of this format, with a hash of it. Throws as write_tensors().
inline void write_checkpoint(const std::filesystem::path& path, TensorFile file,
                             const std::string& format) {
  file.metadata["format"] = format;
  file.metadata["feature_set"] = std::to_string(kFeatureSetVersion);
  file.metadata["hash"] = checkpoint_hash(file);
  write_tensors(path, file);
}

/// Throws InputError unless the file is a whole checkpoint of this format and of this version's
/// feature set. A single changed bit of it shows.
[[nodiscard]] inline TensorFile read_checkpoint(const std::filesystem::path& path,
                                                const std::string& format) {
  const std::string where = path.string();
  TensorFile file = read_tensors(path);
  const std::string stored = stored_text(file, "format");
  if (stored.substr(0, stored.rfind('/')) != format.substr(0, format.rfind('/'))) {
    throw InputError("not a training checkpoint", where, "format " + format);
  }
  if (stored != format) {
    throw InputError("is a checkpoint of another version: " + stored, where, "format " + format);
  }
  if (stored_text(file, "hash") != checkpoint_hash(file)) {
    throw InputError("the checkpoint is damaged: its hash is another", where,
                     "a checkpoint as sixfold train wrote it");
  }
  const std::string features = std::to_string(kFeatureSetVersion);
  if (const std::string of = stored_text(file, "feature_set"); of != features) {
    throw InputError("feature set " + of + " is not this version's", where,
                     "feature set " + features);
  }
  return file;
}

/// Throws InputError unless a checkpoint belongs to this evaluator.
inline void require_evaluator(const TensorFile& file, const std::string& identity,
                              const std::string& where) {
  if (const std::string stored = stored_text(file, "evaluator"); stored != identity) {
    throw InputError("is for the evaluator " + stored, where, identity);
  }
}

/// Throws InputError for more games than planned, and for none planned.
inline void require_games(std::uint64_t games, std::uint64_t planned, const std::string& where) {
  if (games <= planned && planned > 0) return;
  throw InputError(std::to_string(games) + " games of " + std::to_string(planned) + " planned",
                   where, "no more games than planned, and some");
}

}  // namespace sixfold
