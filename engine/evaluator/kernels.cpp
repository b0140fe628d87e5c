#include "evaluator/kernels.h"

#include <cassert>
#include <string>

#include "base/input_error.h"
#include "evaluator/kernel_levels.h"

namespace sixfold {

bool is_available(InstructionSet level) noexcept {
  switch (level) {
    case InstructionSet::kScalar:
      return true;
#ifdef __x86_64__
    case InstructionSet::kAvx2:
      return __builtin_cpu_supports("avx2") != 0 && __builtin_cpu_supports("bmi") != 0;
    case InstructionSet::kAvx512:
      return __builtin_cpu_supports("avx512f") != 0 && __builtin_cpu_supports("avx512bw") != 0 &&
             __builtin_cpu_supports("avx512vl") != 0 && __builtin_cpu_supports("avx512dq") != 0 &&
             __builtin_cpu_supports("avx512vnni") != 0 && __builtin_cpu_supports("bmi") != 0;
#elif defined(__aarch64__)
    case InstructionSet::kNeon:
      return true;
#endif
    default:
      return false;
  }
}

InstructionSet best_instruction_set() noexcept {
  for (const auto level : {InstructionSet::kNeon, InstructionSet::kAvx512, InstructionSet::kAvx2}) {
    if (is_available(level)) return level;
  }
  return InstructionSet::kScalar;
}

InstructionSet instruction_set_named(std::string_view name) {
  std::string present;
  for (std::size_t i = 0; i < kInstructionSetNames.size(); ++i) {
    const auto level = static_cast<InstructionSet>(i);
    if (!is_available(level)) continue;
    if (name == kInstructionSetNames[i]) return level;
    present += (present.empty() ? "" : ", ") + std::string(kInstructionSetNames[i]);
  }
  throw InputError("'" + std::string(name) + "' is not an instruction set of this machine",
                   "instruction set", present);
}

const Kernels& kernels_for(InstructionSet level) noexcept {
  assert(is_available(level));
  switch (level) {
#ifdef __x86_64__
    case InstructionSet::kAvx2:
      return kAvx2Kernels;
    case InstructionSet::kAvx512:
      return kAvx512Kernels;
#elif defined(__aarch64__)
    case InstructionSet::kNeon:
      return kNeonKernels;
#endif
    default:
      return kScalarKernels;
  }
}

}  // namespace sixfold
