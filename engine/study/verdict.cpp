#include "study/verdict.h"

namespace sixfold {

Verdict verdict_of(const RolledPlay& play) noexcept {
  const double least = play.at_least.value_or(play.cost.mean - play.cost.half_width);
  return least > 0.0 ? Verdict::kWorse : Verdict::kOpen;
}

bool is_open(const RolledPlay& play) noexcept {
  return verdict_of(play) == Verdict::kOpen && play.cost.half_width > 0.0;
}

bool is_equal(const RolledPlay& play) noexcept {
  return !play.at_least && play.cost.mean == 0.0 && play.cost.half_width == 0.0;
}

std::optional<Grade> grade_of(const RolledPlay& play, const GradeBounds& bounds) noexcept {
  if (verdict_of(play) != Verdict::kWorse) return std::nullopt;
  const double cost = play.at_least.value_or(play.cost.mean);
  if (bounds.blunder && cost >= *bounds.blunder) return Grade::kBlunder;
  if (bounds.error && cost >= *bounds.error) return Grade::kError;
  return std::nullopt;
}

}  // namespace sixfold
