/// What the six outcomes of a game are worth at a score, with the cube dead.
///
/// Equity is measured so that at match scores losing a single game is -1 and winning one +1; at
/// money it is points. Pure arithmetic on plain values; safe to use from any thread.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>

#include "rules/outcome_distribution.h"
#include "rules/types.h"

namespace sixfold {

struct Score {
  std::string name;    ///< As written by the user: "money", "dmp", ...
  OutcomeWorth worth;  ///< For the side on roll.
  /// The side on roll's chance of winning the match after losing and after winning a single game;
  /// absent at money.
  struct MatchChances {
    double after_single_loss;
    double after_single_win;
    friend bool operator==(const MatchChances&, const MatchChances&) = default;
  };
  std::optional<MatchChances> match;
  friend bool operator==(const Score&, const Score&) = default;
};

/// `money` (cubeless), `dmp` (double match point), `gammon-go` (the roller 2 away, the opponent 1
/// away, Crawford game) and `gammon-save` (1 away against 2 away, Crawford game). At the last two a
/// level score of 1-away each is worth one half. Throws InputError for any other text.
[[nodiscard]] Score parse_score(std::string_view text);

/// Match-winning chance at an equity; nothing at money.
[[nodiscard]] std::optional<double> match_winning_chance(const Score& score,
                                                         double equity) noexcept;

}  // namespace sixfold
