/// One runner at a time: a lock that ends with the process, however that ends.
#pragma once

#include <filesystem>

namespace sixfold {

class RunnerLock {
 public:
  /// Locks a file of its own beside the queue's. Throws InputError where another process holds it,
  /// or the folder can't be written to. REQUIRES: the queue's file is there.
  explicit RunnerLock(const std::filesystem::path& queue);
  ~RunnerLock();
  RunnerLock(const RunnerLock&) = delete;
  RunnerLock& operator=(const RunnerLock&) = delete;

 private:
  std::filesystem::path file_;
  int descriptor_ = -1;
};

}  // namespace sixfold
