#include "study/verdict.h"

namespace sixfold {

Verdict verdict_of(bool is_best, const Estimate& cost,
                   const VerdictThresholds& thresholds) noexcept {
  if (is_best) return Verdict::kBest;
  if (cost.mean < thresholds.error || cost.mean - cost.half_width <= 0.0) return Verdict::kClose;
  return cost.mean < thresholds.blunder ? Verdict::kError : Verdict::kBlunder;
}

bool is_open(const Estimate& cost) noexcept {
  return cost.half_width > 0.0 && cost.mean <= cost.half_width;
}

}  // namespace sixfold
