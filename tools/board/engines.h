/// Engines of the same net and tables for those who ask at the same time.
#pragma once

#include <condition_variable>
#include <cstddef>
#include <memory>
#include <mutex>
#include <utility>
#include <vector>

#include "session/core.h"
#include "session/sixfold.h"

namespace sixfold::tools {

/// An Engine belongs to one thread at a time, so whoever needs one borrows it. They are made when
/// none is free, up to a number; beyond that borrowers wait. Safe to use from any thread.
class Engines {
 public:
  class Borrowed {
   public:
    Borrowed(Engines& from, std::unique_ptr<Engine> engine)
        : from_(from), engine_(std::move(engine)) {}
    Borrowed(const Borrowed&) = delete;
    Borrowed& operator=(const Borrowed&) = delete;
    ~Borrowed() { from_.give_back(std::move(engine_)); }
    [[nodiscard]] Engine& operator*() const noexcept { return *engine_; }
    [[nodiscard]] Engine* operator->() const noexcept { return engine_.get(); }

   private:
    Engines& from_;
    std::unique_ptr<Engine> engine_;
  };

  /// REQUIRES: most >= 1.
  Engines(Engine first, std::size_t most);

  [[nodiscard]] Borrowed borrow() { return {*this, take()}; }
  /// Of all of them.
  [[nodiscard]] const Provenance& made_by() const noexcept { return first_.core().provenance(); }

 private:
  [[nodiscard]] std::unique_ptr<Engine> take();
  void give_back(std::unique_ptr<Engine> engine) noexcept;

  const Engine first_;  ///< Nobody's, so that others can be made of it at any time.
  std::size_t most_;
  std::mutex mutex_;
  std::condition_variable returned_;
  std::vector<std::unique_ptr<Engine>> free_;
  std::size_t made_ = 0;
};

}  // namespace sixfold::tools
