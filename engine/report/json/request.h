/// One line of --requests: a JSON object that names a decision.
#pragma once

#include <optional>
#include <string>

namespace sixfold {

/// Dice, score and checkers that a line leaves out are what the command line says.
struct Request {
  std::string position;
  std::string after;
  std::optional<std::string> dice;
  std::optional<std::string> score;
  std::optional<std::string> cube;
  std::optional<bool> jacoby;
  std::optional<bool> beavers;
  std::optional<int> checkers;
};

/// Reads {"id":..,"position"|"after":..,"dice":"43","score":"..","cube":"..",
/// "jacoby":true,"beavers":true,"checkers":15}. `id` is set, as JSON, as soon as it is known, so
/// that an error can be answered under it. Throws InputError for what is not JSON, for unknown
/// fields and for fields of the wrong kind.
[[nodiscard]] Request parse_request(const std::string& line, std::string& id);

}  // namespace sixfold
