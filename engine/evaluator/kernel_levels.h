/// The kernels of each level, and what they share. A level may be called only where is_available
/// says so; those of another processor are not built.
#pragma once

#include <algorithm>
#include <bit>

#include "encoding/fact_numbers.h"
#include "evaluator/kernels.h"
#include "rules/steps.h"

namespace sixfold {

/// The second layer's integer sums of one child.
struct alignas(kCacheLine) SecondSums {
  std::array<std::int32_t, kSecondUnits> of_unit;
};

/// The cube head's integer sums of one child.
struct alignas(kCacheLine / 2) LifeSums {
  std::array<std::int32_t, kLifeLanes> of_life;
};

extern const Kernels kScalarKernels;
extern const Kernels kAvx2Kernels;
extern const Kernels kAvx512Kernels;
extern const Kernels kNeonKernels;

}  // namespace sixfold
