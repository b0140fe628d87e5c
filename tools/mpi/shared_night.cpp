#include "tools/mpi/shared_night.h"

#include <algorithm>
#include <string>

#include "base/bytes.h"
#include "base/input_error.h"
#include "exact/few_checkers.h"
#include "queue/turn_bytes.h"

namespace sixfold::tools {
namespace {

/// Solved games may be there on rank 0 alone.
bool is_of_few_checkers(const Job& job) {
  return job.questions.front().decision.position.roller.total() <= SolvedGame::kMostCheckers;
}

}  // namespace

void SharedNight::run() {
  while (true) {
    hand_out();
    if (!in_hand_.empty()) {
      serve(crew_.wait(night_.stop()));
    } else if (!night_.play_next()) {
      return;
    }
  }
}

void SharedNight::hand_out() {
  if (night_.is_to_stop() || in_hand_.size() == static_cast<std::size_t>(crew_.size())) return;
  const std::vector<PartAt> up = night_.up();
  if (crew_.size() == 1 || up.size() < static_cast<std::size_t>(crew_.size())) return;
  for (int rank = 0; rank < crew_.size(); ++rank) {
    if (!in_hand_.contains(rank)) hand_out(rank, up);
  }
}

void SharedNight::hand_out(int rank, const std::vector<PartAt>& up) {
  for (const PartAt& part : up) {
    const bool is_taken = std::any_of(in_hand_.begin(), in_hand_.end(), [&](const auto& each) {
      return each.second.part.entry == part.entry && each.second.part.number == part.number;
    });
    if (is_taken || !is_for(rank, part)) continue;
    const std::optional<Entry> entry = night_.file().entry(part.entry);
    if (!entry) return;  // Somebody has just removed it.
    night_.begin(part);
    ByteWriter task;
    add(task, TurnTask{*entry, part});
    crew_.send(rank, {MessageKind::kTurn, task.bytes()});
    in_hand_[rank] = {part, night_.now()};
    return;
  }
}

bool SharedNight::is_for(int rank, const PartAt& part) {
  try {
    return rank == 0 || !is_of_few_checkers(night_.job_of(part.entry));
  } catch (const InputError& error) {
    return rank == 0;  // The turn fails, and says why.
  }
}

void SharedNight::serve(const FromRank& from) {
  const PartAt part = in_hand_.at(from.rank).part;
  try {
    switch (from.message.kind) {
      case MessageKind::kWantState:
        return answer(from);
      case MessageKind::kKeepState:
        return keep(from.message.body);
      default:
        return end_turn(from);
    }
  } catch (const DatabaseError& error) {
    if (error.kind() != DatabaseError::Kind::kDamaged) throw;
    night_.fail(part, error.what());
  }
}

void SharedNight::keep(const std::string& body) {
  ByteReader bytes(body, "a state");
  const auto entry = bytes.take<std::int64_t>();
  const auto plan = bytes.take<std::uint64_t>();
  night_.file().keep_state(entry, plan, bytes.take_text());
}

void SharedNight::answer(const FromRank& from) {
  ByteReader wanted(from.message.body, "what a rank asks for");
  const auto entry = wanted.take<std::int64_t>();
  const auto plan = wanted.take<std::uint64_t>();
  std::string error;
  std::optional<std::string> state;
  try {
    state = night_.file().state(entry, plan);
  } catch (const DatabaseError& damage) {
    if (damage.kind() != DatabaseError::Kind::kDamaged) throw;
    error = damage.what();
  }
  ByteWriter reply;
  reply.add_text(night_.file().name());
  reply.add_text(error);
  reply.add(state.has_value());
  if (state) reply.add_text(*state);
  crew_.send(from.rank, {MessageKind::kState, reply.bytes()});
}

void SharedNight::end_turn(const FromRank& from) {
  const InHand ended = in_hand_.at(from.rank);
  in_hand_.erase(from.rank);
  if (from.message.kind == MessageKind::kTurnFailed) {
    return night_.fail(ended.part, from.message.body);
  }
  ByteReader bytes(from.message.body, "a turn");
  night_.end(ended.part, take_turn(bytes), night_.now() - ended.since);
}

}  // namespace sixfold::tools
