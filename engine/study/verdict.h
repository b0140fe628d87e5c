/// What a cost says about a play.
#pragma once

#include <cstdint>
#include <optional>

#include "rollout/rolled.h"

namespace sixfold {

enum class Verdict : std::uint8_t {
  kBest,
  kOpen,   ///< The interval of the cost reaches 0: the play may be as good as the best.
  kWorse,  ///< It does not.
};

/// REQUIRES: `play` is not the best of its roll.
[[nodiscard]] Verdict verdict_of(const RolledPlay& play) noexcept;
[[nodiscard]] inline Verdict verdict_of(bool is_best, const RolledPlay& play) noexcept {
  return is_best ? Verdict::kBest : verdict_of(play);
}

/// Whether the two can't be told apart: open, and not exactly equal. REQUIRES: as above.
[[nodiscard]] bool is_open(const RolledPlay& play) noexcept;

/// Whether it is exactly as good as the best. REQUIRES: as above.
[[nodiscard]] bool is_equal(const RolledPlay& play) noexcept;

enum class Grade : std::uint8_t { kError, kBlunder };

/// Costs in equity from which a play is an error or a blunder to whoever asks; there are none of
/// our own.
struct GradeBounds {
  std::optional<double> error;
  std::optional<double> blunder;
  [[nodiscard]] bool any() const noexcept { return error || blunder; }
};

/// Of a play that is worse: by its cost, or by the least that it costs.
[[nodiscard]] std::optional<Grade> grade_of(const RolledPlay& play,
                                            const GradeBounds& bounds) noexcept;

}  // namespace sixfold
