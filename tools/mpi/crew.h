/// All who play for rank 0, as it sees them: the other ranks, and a member in this process.
///
/// Each member has one thing in hand at a time and answers it by one message, but for states that
/// it asks for or hands in meanwhile. Belongs to the thread that made it.
#pragma once

#include <atomic>
#include <cstdint>
#include <optional>
#include <thread>

#include "rollout/plan.h"
#include "tools/mpi/member.h"
#include "tools/mpi/post.h"

namespace sixfold::tools {

class Crew {
 public:
  /// The post must outlive it.
  explicit Crew(Post& post) : post_(post) {}
  /// Sends all home.
  ~Crew();
  Crew(const Crew&) = delete;
  Crew& operator=(const Crew&) = delete;

  /// Gets all ready to play as `core` does; to be called once. Throws InputError for a member that
  /// has another version, net or tables, and for one that can't play.
  void muster(const Setup& setup, const Core& core);

  [[nodiscard]] int size() const noexcept { return post_.ranks(); }
  void send(int rank, Message message);
  /// The blocks that are handed out from now on are of this plan.
  void tell(const RolloutPlan& plan);
  /// The next message. When `stop` is set, all are told to leave what they play. Throws InputError
  /// where a member can't go on.
  [[nodiscard]] FromRank wait(const std::atomic<bool>* stop);

 private:
  [[nodiscard]] std::optional<FromRank> poll();
  void tell_to_stop();

  Post& post_;
  MemberMail own_mail_;
  std::jthread own_member_;
  bool is_mustered_ = false;
  bool has_stopped_ = false;
  std::optional<std::uint64_t> plan_;  ///< The identity of the one that was told last.
};

}  // namespace sixfold::tools
