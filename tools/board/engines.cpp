#include "tools/board/engines.h"

namespace sixfold::tools {

Engines::Engines(Engine first, std::size_t most) : first_(std::move(first)), most_(most) {
  free_.reserve(most);
}

std::unique_ptr<Engine> Engines::take() {
  std::unique_lock lock(mutex_);
  returned_.wait(lock, [&] { return !free_.empty() || made_ < most_; });
  if (!free_.empty()) {
    std::unique_ptr<Engine> engine = std::move(free_.back());
    free_.pop_back();
    return engine;
  }
  ++made_;
  lock.unlock();
  return std::make_unique<Engine>(first_.twin());
}

void Engines::give_back(std::unique_ptr<Engine> engine) noexcept {
  const std::lock_guard lock(mutex_);
  free_.push_back(std::move(engine));
  returned_.notify_one();
}

}  // namespace sixfold::tools
