/// What the trainers' checkpoints have in common: tensor files with numbers in their metadata.
#pragma once

#include <charconv>
#include <cstdint>
#include <string>
#include <system_error>

#include "base/input_error.h"
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

/// Throws InputError unless the file is a checkpoint of this format and feature set.
inline void require_checkpoint(const TensorFile& file, const std::string& format,
                               const std::string& feature_set, const std::string& where) {
  if (stored_text(file, "format") != format) {
    throw InputError("not a training checkpoint", where, "format " + format);
  }
  if (const std::string stored = stored_text(file, "feature_set"); stored != feature_set) {
    throw InputError("feature set " + stored + " is not this version's", where,
                     "feature set " + feature_set);
  }
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
