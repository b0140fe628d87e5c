#include "train/loops.h"

namespace sixfold {

namespace scalar_level {
#include "train/loops.inc"
}  // namespace scalar_level

#ifdef __x86_64__
#pragma GCC push_options
#pragma GCC target("avx2")
namespace avx2_level {
#include "train/loops.inc"
}  // namespace avx2_level
#pragma GCC pop_options

#pragma GCC push_options
#pragma GCC target("avx512f,avx512bw,avx512vl,avx512dq,prefer-vector-width=512")
namespace avx512_level {
#include "train/loops.inc"
}  // namespace avx512_level
#pragma GCC pop_options
#endif

const TrainingLoops& training_loops(InstructionSet level) noexcept {
  switch (level) {
#ifdef __x86_64__
    case InstructionSet::kAvx2:
      return avx2_level::kLoops;
    case InstructionSet::kAvx512:
      return avx512_level::kLoops;
#endif
    default:
      return scalar_level::kLoops;
  }
}

}  // namespace sixfold
