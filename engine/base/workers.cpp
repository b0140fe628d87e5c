#include "base/workers.h"

#include <tbb/global_control.h>
#include <tbb/parallel_for.h>
#include <tbb/task_arena.h>

#include <algorithm>
#include <atomic>
#include <cassert>
#include <optional>

namespace sixfold {

/// An arena of our own, so that a program that uses TBB itself keeps its limits: a limit is set only
/// where more threads are wanted than TBB has, which lowers nobody's.
struct Workers::Arena {
  explicit Arena(int threads) : arena(threads) {
    if (threads > available_threads()) {
      allowed.emplace(tbb::global_control::max_allowed_parallelism,
                      static_cast<std::size_t>(threads));
    }
  }
  std::optional<tbb::global_control> allowed;
  tbb::task_arena arena;
};

int available_threads() noexcept { return std::max(1, tbb::this_task_arena::max_concurrency()); }

Workers::Workers(int threads)
    : threads_(threads), arena_(threads > 1 ? std::make_unique<Arena>(threads) : nullptr) {
  assert(threads >= 1);
}

Workers::Workers(Workers&&) noexcept = default;
Workers::~Workers() = default;

void Workers::for_each(std::size_t count, const std::function<void(std::size_t)>& body) {
  const auto shares = std::min(static_cast<std::size_t>(threads_), count);
  if (shares <= 1) {
    for (std::size_t i = 0; i < count; ++i) body(i);
    return;
  }
  std::atomic<std::size_t> next{0};
  arena_->arena.execute([&] {
    tbb::parallel_for(
        std::size_t{0}, shares,
        [&](std::size_t) {
          for (std::size_t i = next++; i < count; i = next++) body(i);
        },
        tbb::simple_partitioner());
  });
}

}  // namespace sixfold
