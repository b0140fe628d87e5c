/// The pieces of work that pages have asked for, and who watches them.
///
/// A piece is worked at in the thread of whoever watches it, and no longer than he does: when its
/// page goes the work stops, and what was played is kept for a while. Few go on at once, and few
/// are kept. Safe to use from any thread.
#pragma once

#include <atomic>
#include <chrono>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <mutex>
#include <stdexcept>
#include <string>

#include "tools/board/engines.h"
#include "tools/board/web_server.h"
#include "tools/board/work_piece.h"

namespace sixfold::tools {

/// What can't be had now, or is not there; with HTTP's number for it.
class Refusal : public std::runtime_error {
 public:
  Refusal(int status, const std::string& message) : std::runtime_error(message), status_(status) {}
  [[nodiscard]] int status() const noexcept { return status_; }

 private:
  int status_;
};

class WorkShop {
 public:
  /// The engines must outlive it.
  explicit WorkShop(Engines& engines) : engines_(engines) {}

  /// Takes work in, and returns its number. Throws InputError as WorkPiece, and a Refusal where
  /// there is too much already.
  [[nodiscard]] std::uint64_t start(const std::string& body, std::string& id);
  /// What has ended, or is to be stopped, goes on under a new number. Throws a Refusal while it is
  /// still worked at.
  [[nodiscard]] std::uint64_t go_on(std::uint64_t work);
  void stop(std::uint64_t work);
  /// Works at it and tells, until it has ended or nobody listens. What has ended is told again.
  /// Throws a Refusal where somebody else watches it.
  [[nodiscard]] std::function<void(EventSink&)> watch(std::uint64_t work);
  /// A finished lesson's sheet, as WorkPiece has it.
  [[nodiscard]] std::string sheet(std::uint64_t work, const std::string& kind, bool is_quiz);

  /// Stops all, and what is begun from now on.
  void close();

 private:
  enum class State : std::uint8_t { kWaiting, kWatched, kEnded };
  struct Bench {
    std::shared_ptr<WorkPiece> piece;
    State state = State::kWaiting;
    std::chrono::steady_clock::time_point since = std::chrono::steady_clock::now();
    std::atomic<bool> stop{false};
    std::string last_event;
    std::string last_data;
  };

  /// Somebody at a bench, from when he asks for it until he leaves, whatever happens between.
  class Seat;

  // With the mutex held.
  [[nodiscard]] std::shared_ptr<Bench> required(std::uint64_t work) const;
  /// For one more beside all but `own`.
  void require_room(const Bench* own = nullptr) const;
  [[nodiscard]] std::uint64_t put(std::shared_ptr<WorkPiece> piece);

  void work_at(Seat& seat, EventSink& sink);

  Engines& engines_;
  std::mutex mutex_;
  bool is_closed_ = false;
  std::uint64_t last_ = 0;
  std::map<std::uint64_t, std::shared_ptr<Bench>> benches_;
};

}  // namespace sixfold::tools
