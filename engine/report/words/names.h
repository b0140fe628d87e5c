/// What outcomes, verdicts, plays and methods are called.
///
/// Pure functions; safe to use from any thread.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>

#include "rollout/rollout.h"
#include "rules/outcome_distribution.h"
#include "study/decision.h"
#include "study/verdict.h"

namespace sixfold {

/// The outcomes in the order of Outcome, in JSON and CSV.
inline constexpr std::array<const char*, kOutcomeCount> kOutcomeFields{
    "lose_backgammon", "lose_gammon", "lose_single", "win_single", "win_gammon", "win_backgammon"};
/// The same for readers.
inline constexpr std::array<const char*, kOutcomeCount> kOutcomeWords{
    "lost backgammons", "lost gammons", "lost single games",
    "won single games", "won gammons",  "won backgammons"};
/// The lines of a ledger, in the order of ShareOf. A gammon is no backgammon, here as everywhere:
/// what holds both is "by a gammon or more".
inline constexpr std::array<const char*, kShareCount> kShareWords{
    "won", "won by a gammon or more", "won by a backgammon", "lost by a gammon or more",
    "lost by a backgammon"};

/// "best", "open" or "worse".
[[nodiscard]] std::string_view verdict_name(Verdict verdict) noexcept;
/// "error" or "blunder".
[[nodiscard]] std::string_view grade_name(Grade grade) noexcept;
/// The verdict on a play of the list, and its grade where bounds were given: "worse, an error".
[[nodiscard]] std::string verdict_text(const RolledDecision& rolled, std::size_t rank);
/// A bound that a cost exceeds, rounded so that it still does.
[[nodiscard]] std::string bound_text(double bound, int decimals);

/// "network", "race table" or "exact".
[[nodiscard]] const char* method_name(Method method) noexcept;

/// Of an equity with the cube: "exact" or "model".
[[nodiscard]] const char* equity_method_name(bool is_exact) noexcept;

/// The cube as it is asked for: "none", "centred", "roller:2".
[[nodiscard]] std::string asked_cube(const std::optional<Cube>& cube);

/// A play of the list in words. REQUIRES: rank < plays.
[[nodiscard]] std::string play_name(const RolledDecision& rolled, std::size_t rank);

}  // namespace sixfold
