/// One line of --requests: a JSON object that names a decision.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

namespace sixfold {

/// What a line leaves out, but for position and title, is what the command line says.
struct Request {
  std::string title;
  std::string position;
  std::string after;
  std::optional<std::string> dice;
  std::optional<std::string> score;
  std::optional<std::string> cube;
  std::optional<bool> jacoby;
  std::optional<bool> beavers;
  std::optional<int> checkers;
  std::optional<bool> both_from_roller;
  std::optional<std::string> plays;
  std::optional<std::uint64_t> trials;
  std::optional<double> half_width;
  std::optional<std::uint64_t> most_trials;
  std::optional<std::uint64_t> seed;

  /// Whether it says how much is to be rolled out.
  [[nodiscard]] bool asks_for_trials() const noexcept {
    return trials || half_width || most_trials || seed;
  }
};

/// Reads {"id":..,"title":"..","position"|"after":..,"dice":"43","score":"..","cube":"..",
/// "jacoby":true,"beavers":true,"checkers":15,"both_from_roller":true,"plays":"24/14; 13/9 13/7",
/// "trials":144,"half_width":0.01,"most_trials":57600,"seed":1}; `plays` may be a list of texts
/// too. `id` is set, as JSON, as soon as it is known, so that an error can be answered under it.
/// Throws InputError for what is not JSON, for unknown fields and for fields of the wrong kind.
[[nodiscard]] Request parse_request(const std::string& line, std::string& id);

}  // namespace sixfold
