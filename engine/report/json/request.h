/// One line of --requests: a JSON object that names a decision.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

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
  std::optional<bool> facts;

  // Of rollouts of plays.
  std::optional<std::string> plays;
  std::optional<double> error;
  std::optional<double> blunder;
  std::optional<bool> ledger;

  // How much is rolled out, and how.
  std::optional<std::uint64_t> trials;
  std::optional<double> half_width;
  std::optional<std::uint64_t> most_trials;
  std::optional<double> confidence;
  std::optional<std::uint64_t> seed;
  std::optional<int> lookahead;
  std::optional<int> truncate;
  std::optional<std::string> luck;
  std::optional<bool> plain;
  std::optional<bool> free_dice;
  std::optional<bool> play_on;

  /// The first field that says how much is rolled out, or how; null where none does.
  [[nodiscard]] const char* trial_field() const noexcept;
  /// The first field that only rollouts of plays have a use for; the same.
  [[nodiscard]] const char* play_field() const noexcept;
};

/// Reads an object with fields of these names, such as {"id":..,"after":"31: 8/5 6/5","dice":"64"};
/// `plays` may be a list of texts too. `id` is set, as JSON, as soon as it is known, so that an
/// error can be answered under it. Throws InputError for what is not JSON, for unknown fields and
/// for fields of the wrong kind.
[[nodiscard]] Request parse_request(const std::string& line, std::string& id);

/// A caller's id as a table shows it: a text without its quotes, other JSON as it is.
[[nodiscard]] std::string plain_id(std::string_view id);

}  // namespace sixfold
