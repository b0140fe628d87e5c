/// Threads that share the turns of a loop: the library's one use of TBB.
#pragma once

#include <cstddef>
#include <functional>
#include <memory>

namespace sixfold {

/// Hardware threads, at least 1.
[[nodiscard]] int available_threads() noexcept;

/// A number of threads kept ready. One object belongs to one caller at a time.
class Workers {
 public:
  /// More threads than the machine has are allowed. REQUIRES: threads >= 1.
  explicit Workers(int threads);
  Workers(Workers&&) noexcept;
  ~Workers();

  /// Calls body(i) once for each i in 0..count-1, the caller's thread taking part. Turns are handed
  /// out in ascending order, one at a time, so that few are open at any moment. Returns when all
  /// calls have returned; an exception is rethrown. REQUIRES: body may be called concurrently.
  void for_each(std::size_t count, const std::function<void(std::size_t)>& body);

 private:
  struct Arena;
  int threads_;
  std::unique_ptr<Arena> arena_;
};

}  // namespace sixfold
