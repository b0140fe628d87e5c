/// The kernels of each level; a level may be called only where is_available says so.
#pragma once

#include "evaluator/kernels.h"

namespace sixfold {

extern const Kernels kScalarKernels;
extern const Kernels kAvx2Kernels;
extern const Kernels kAvx512Kernels;

}  // namespace sixfold
