/// What every rank does, rank 0's own share included: plays blocks and turns that rank 0 hands out.
#pragma once

#include <atomic>
#include <string>

#include "tools/mpi/messages.h"

namespace sixfold::tools {

/// Between a member and whoever brings its messages.
struct MemberMail {
  Mailbox in;
  Mailbox out;
  std::atomic<bool> stop{false};  ///< Leaves what is being played.
};

/// Plays until kEnd, by threads of its own; says so where it can't. `setup` is setup_bytes();
/// `threads` are those where it names none.
void run_member(const std::string& setup, int threads, MemberMail& mail);

}  // namespace sixfold::tools
