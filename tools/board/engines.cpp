#include "tools/board/engines.h"

#include <utility>

#include "base/input_error.h"
#include "tools/questions.h"

namespace sixfold::tools {

Engines::Engines(PositionOptions options, int threads, std::size_t most)
    : options_(std::move(options)), threads_(threads), most_(most) {
  free_.reserve(most);
  free_.push_back(std::make_unique<Engine>(engine_of(options_, threads_)));
  made_ = 1;
  made_by_ = free_.front()->core().provenance();
  options_.quiet = true;
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
  try {
    auto engine = std::make_unique<Engine>(engine_of(options_, threads_));
    if (engine->core().provenance().net == made_by_.net) return engine;
    throw InputError("the net has changed since the board was opened", made_by_.net,
                     "the same, or a board that is opened anew");
  } catch (...) {
    lock.lock();
    --made_;
    returned_.notify_one();
    throw;
  }
}

void Engines::give_back(std::unique_ptr<Engine> engine) noexcept {
  const std::lock_guard lock(mutex_);
  free_.push_back(std::move(engine));
  returned_.notify_one();
}

}  // namespace sixfold::tools
