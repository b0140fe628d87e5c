/// Messages between ranks: the one place that calls MPI.
///
/// Open MPI waits for messages in a loop that takes a whole core. Here nobody waits inside MPI:
/// who has nothing to do looks for messages, and naps. Belongs to the thread that made it.
#pragma once

#include <chrono>
#include <list>
#include <memory>
#include <optional>
#include <string>

#include "tools/mpi/messages.h"

namespace sixfold::tools {

/// Longer and longer, to a millisecond, until something happens.
class Naps {
 public:
  void nap();
  void reset() { next_ = kFirst; }

 private:
  static constexpr std::chrono::microseconds kFirst{20};
  std::chrono::microseconds next_ = kFirst;
};

/// A message and the rank that it is from.
struct FromRank {
  int rank = 0;
  Message message;
};

class Post {
 public:
  Post(int* argc, char*** argv);
  /// What was sent is delivered first.
  ~Post();
  Post(const Post&) = delete;
  Post& operator=(const Post&) = delete;

  [[nodiscard]] int rank() const noexcept { return rank_; }
  [[nodiscard]] int ranks() const noexcept { return ranks_; }
  /// The share of this machine's threads that each of the ranks on it has, at least 1.
  [[nodiscard]] int threads_each() const noexcept { return threads_each_; }

  /// Does not wait until it arrives.
  void send(int to, Message message);
  [[nodiscard]] std::optional<FromRank> poll();
  /// The text of rank 0, for all. To be called by all.
  [[nodiscard]] std::string broadcast(std::string text = {});

 private:
  struct Sending;
  void drop_sent();

  int rank_ = 0;
  int ranks_ = 1;
  int threads_each_ = 1;
  std::list<std::unique_ptr<Sending>> sending_;
};

}  // namespace sixfold::tools
