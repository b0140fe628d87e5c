#include "tools/mpi/crew.h"

#include <cassert>
#include <utility>

#include "base/format.h"
#include "base/input_error.h"
#include "tools/places.h"

namespace sixfold::tools {

Crew::~Crew() {
  if (!is_mustered_) {
    static_cast<void>(post_.broadcast());  // They wait for what they are to play with.
    return;
  }
  tell_to_stop();
  for (int rank = 0; rank < size(); ++rank) send(rank, {MessageKind::kEnd});
}

void Crew::muster(const Setup& setup, const Core& core) {
  assert(!is_mustered_);
  const std::string bytes = post_.broadcast(setup_bytes(setup));
  is_mustered_ = true;
  own_member_ = std::jthread(
      [this, bytes, threads = post_.threads_each()] { run_member(bytes, threads, own_mail_); });
  const MemberIdentity ours = identity_of(core);
  std::vector<MemberIdentity> theirs(static_cast<std::size_t>(size()));
  for (int ready = 0; ready < size(); ++ready) {
    const FromRank from = wait(nullptr);
    assert(from.message.kind == MessageKind::kReady);
    theirs[static_cast<std::size_t>(from.rank)] = take_identity(from.message.body);
  }
  for (int rank = 0; rank < size(); ++rank) {
    require_same(rank, theirs[static_cast<std::size_t>(rank)], ours);
  }
}

void Crew::send(int rank, Message message) {
  if (rank == 0) {
    own_mail_.in.put(std::move(message));
  } else {
    post_.send(rank, std::move(message));
  }
}

void Crew::tell(const RolloutPlan& plan) {
  const std::uint64_t identity = plan.identity();
  if (plan_ == identity) return;
  const std::string bytes = plan.save();
  for (int rank = 0; rank < size(); ++rank) send(rank, {MessageKind::kPlan, bytes});
  plan_ = identity;
}

void Crew::tell_to_stop() {
  has_stopped_ = true;
  own_mail_.stop = true;
  for (int rank = 1; rank < size(); ++rank) send(rank, {MessageKind::kStop});
}

std::optional<FromRank> Crew::poll() {
  if (std::optional<Message> own = own_mail_.out.take()) return FromRank{0, std::move(*own)};
  return post_.poll();
}

FromRank Crew::wait(const std::atomic<bool>* stop) {
  Naps naps;
  while (true) {
    if (stop != nullptr && *stop && !has_stopped_) tell_to_stop();
    std::optional<FromRank> from = poll();
    if (!from) {
      naps.nap();
      continue;
    }
    const Message& message = from->message;
    const std::string text = format("rank {} on {}", from->rank, message.body);
    if (message.kind == MessageKind::kBroken) throw InputError(text, "", "");
    if (message.kind != MessageKind::kNote) return std::move(*from);
    note(text);
  }
}

}  // namespace sixfold::tools
