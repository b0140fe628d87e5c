/// A lock among processes, which ends with the one that holds it, however that ends.
#pragma once

#include <filesystem>

#include "base/input_error.h"

namespace sixfold {

class ProcessLock {
 public:
  /// Makes `file`, whose folder has to be there, and locks it; it goes with this object. A killed
  /// process leaves it, unlocked, and the next one takes it over. Throws `busy` where another
  /// process holds it, and InputError where the file can't be made or its file system knows no
  /// locks. Those of the network file system hold among machines as far as its server keeps them.
  ProcessLock(const std::filesystem::path& file, const InputError& busy);
  ~ProcessLock();
  ProcessLock(const ProcessLock&) = delete;
  ProcessLock& operator=(const ProcessLock&) = delete;

 private:
  std::filesystem::path file_;
  int descriptor_ = -1;
};

}  // namespace sixfold
