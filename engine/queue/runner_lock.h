/// One runner of a queue at a time.
#pragma once

#include <filesystem>

#include "base/process_lock.h"

namespace sixfold {

/// Locks a file of its own beside the queue's. Throws InputError where another process holds it, or
/// the folder can't be written to. REQUIRES: the queue's file is there.
[[nodiscard]] inline ProcessLock runner_lock(const std::filesystem::path& queue) {
  // Under one name, whatever links lead to the queue.
  return {std::filesystem::canonical(queue).string() + "-runner",
          InputError("another process runs it", queue.string(), "that to end first")};
}

}  // namespace sixfold
