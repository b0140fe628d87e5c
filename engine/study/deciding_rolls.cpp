#include "study/deciding_rolls.h"

#include <algorithm>
#include <cmath>

#include "rollout/first_rolls.h"

namespace sixfold {
namespace {

/// The least share of a difference for a family to be named.
constexpr double kFamilyShare = 0.5;
/// Below this a part is a rounding.
constexpr double kNothing = 1e-9;

bool belongs(Roll roll, int number) {
  return number == 0 ? roll.is_doubles() : roll.high == number || roll.low == number;
}

Estimate opposite(Estimate estimate) {
  estimate.mean = 0.0 - estimate.mean;
  return estimate;
}

bool is_larger(const RollPart& a, const RollPart& b) { return a.part.mean > b.part.mean; }

std::optional<RollFamily> leading_family(const std::array<Estimate, kRollCount>& parts,
                                         const Estimate& difference) {
  std::optional<RollFamily> leading;
  double most_beyond = 0.0;
  for (int number = 0; number <= 6; ++number) {
    RollFamily family{number, {}};
    for (std::size_t r = 0; r < kRollCount; ++r) {
      if (belongs(kRolls[r], number)) family.rolls.push_back({kRolls[r], parts[r]});
    }
    const Estimate sum = sum_of(family.rolls);
    const double due = probability_of(family.rolls) * difference.mean;
    if (sum.mean < kFamilyShare * difference.mean || sum.mean - sum.half_width <= due) continue;
    if (sum.mean - due < most_beyond) continue;
    most_beyond = sum.mean - due;
    std::stable_sort(family.rolls.begin(), family.rolls.end(), is_larger);
    leading = std::move(family);
  }
  return leading;
}

}  // namespace

double probability_of(std::span<const RollPart> rolls) noexcept {
  double sum = 0.0;
  for (const RollPart& one : rolls) {
    sum += roll_probability(static_cast<std::size_t>(one.roll.index()));
  }
  return sum;
}

Estimate sum_of(std::span<const RollPart> rolls) noexcept {
  Estimate sum;
  for (const RollPart& one : rolls) {
    sum.mean += one.part.mean;
    sum.standard_error = std::hypot(sum.standard_error, one.part.standard_error);
    sum.half_width = std::hypot(sum.half_width, one.part.half_width);
    sum.blocks = one.part.blocks;
  }
  return sum;
}

DecidingRolls deciding_rolls(const std::array<Estimate, kRollCount>& parts,
                             const Estimate& difference) {
  DecidingRolls rolls;
  for (std::size_t r = 0; r < kRollCount; ++r) {
    const Estimate& part = parts[r];
    const bool is_clear = std::abs(part.mean) > std::max(part.half_width, kNothing);
    (!is_clear         ? rolls.others
     : part.mean > 0.0 ? rolls.pro
                       : rolls.contra)
        .push_back({kRolls[r], part});
  }
  std::stable_sort(rolls.pro.begin(), rolls.pro.end(), is_larger);
  std::stable_sort(rolls.contra.begin(), rolls.contra.end(),
                   [](const RollPart& a, const RollPart& b) { return is_larger(b, a); });
  if (difference.mean > std::max(difference.half_width, kNothing)) {
    rolls.family = leading_family(parts, difference);
  }
  return rolls;
}

DecidingRolls deciding_rolls(const RolledDouble& rolled) {
  std::array<Estimate, kRollCount> gains = rolled.by_roll;
  for (Estimate& gain : gains) gain = opposite(gain);
  return deciding_rolls(gains, gain_of_doubling(rolled));
}

Estimate gain_of_doubling(const RolledDouble& rolled) { return opposite(rolled.difference); }

}  // namespace sixfold
