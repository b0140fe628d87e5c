/// What rank 0 and the members of its crew say to one another.
#pragma once

#include <condition_variable>
#include <deque>
#include <mutex>
#include <optional>
#include <string>
#include <string_view>
#include <utility>

#include "session/core.h"

namespace sixfold::tools {

enum class MessageKind : int {
  // To members.
  kPlan,    ///< RolloutPlan::save(), of the blocks to come.
  kBlocks,  ///< A list of BlockPlace, to be played.
  kTurn,    ///< A TurnTask, to be played.
  kState,   ///< The answer to kWantState.
  kStop,    ///< Leave what is being played.
  kEnd,
  // To rank 0.
  kReady,       ///< A MemberIdentity.
  kPlayed,      ///< A list of PlayedBlock.
  kWantState,   ///< Entry and plan: the state of a rollout.
  kKeepState,   ///< Entry, plan and state.
  kTurnEnded,   ///< A Turn.
  kTurnFailed,  ///< Why: of the entry.
  kNote,        ///< The host, and a line for people.
  kBroken,      ///< The host, and why the member can't go on.
};

struct Message {
  MessageKind kind{};
  std::string body{};
};

/// Messages from one thread to another, in order. Safe to use from any thread.
class Mailbox {
 public:
  void put(Message message);
  /// Nothing where it is empty.
  [[nodiscard]] std::optional<Message> take();
  /// Waits for one.
  [[nodiscard]] Message wait();

 private:
  std::mutex mutex_;
  std::condition_variable arrived_;
  std::deque<Message> messages_;
};

/// All that a member has to know before it can play.
struct Setup {
  std::string version;  ///< Stands first, so that other versions can be told.
  CoreFiles files;
  std::string cache;            ///< As the option has it; each member has its own usual place.
  std::string instruction_set;  ///< Empty: the best that each member has.
  int race_points = 6;
  int threads = 0;  ///< Of each member; 0: its share of its machine.
  int nice = 0;
};
[[nodiscard]] std::string setup_bytes(const Setup& setup);
/// Nothing where it is of another version. Throws InputError for bytes that are none.
[[nodiscard]] std::optional<Setup> setup_of(std::string_view bytes);

/// What has to be the same for all: results depend on it.
struct MemberIdentity {
  std::string host;  ///< But for this.
  std::string version;
  std::string net;
  std::string tables;
};
[[nodiscard]] std::string host_name();
[[nodiscard]] MemberIdentity identity_of(const Core& core);
[[nodiscard]] std::string identity_bytes(const MemberIdentity& identity);
[[nodiscard]] MemberIdentity take_identity(std::string_view bytes);
/// Throws InputError that names the rank and what is not as it is for `ours`.
void require_same(int rank, const MemberIdentity& theirs, const MemberIdentity& ours);

}  // namespace sixfold::tools
