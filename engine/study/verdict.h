/// What a cost says about a play.
#pragma once

#include <cstdint>

#include "rollout/statistics.h"

namespace sixfold {

enum class Verdict : std::uint8_t { kBest, kClose, kError, kBlunder };

/// Costs in equity from which a play is an error or a blunder.
struct VerdictThresholds {
  double error = 0.02;
  double blunder = 0.08;
};

/// `close` when the cost is below the first threshold or its interval reaches zero.
[[nodiscard]] Verdict verdict_of(bool is_best, const Estimate& cost,
                                 const VerdictThresholds& thresholds) noexcept;

/// Whether two plays can't be told apart: their cost is within its interval, and they are not
/// exactly equal.
[[nodiscard]] bool is_open(const Estimate& cost) noexcept;

}  // namespace sixfold
