#include "queue/night.h"

#include <utility>

#include "queue/next_up.h"

namespace sixfold {

Night::Night(QueueFile& file, Core& core, JobReader reader, NightSettings settings)
    : file_(file), core_(core), reader_(std::move(reader)), settings_(std::move(settings)) {}

const Job& Night::job_of(std::int64_t id) {
  const auto found = jobs_.find(id);
  if (found != jobs_.end()) return found->second;
  return jobs_.emplace(id, reader_(file_.required_entry(id))).first->second;
}

std::vector<PartAt> Night::up() const {
  const std::vector<PartAt> parts = file_.parts();
  std::vector<PartAt> up;
  for (const std::size_t next : all_up(parts, settings_.beyond)) up.push_back(parts[next]);
  return up;
}

void Night::begin(const PartAt& part) {
  if (settings_.turn_started) settings_.turn_started(part);
}

void Night::end(const PartAt& part, Turn turn, double seconds) {
  turn.standing.seconds = part.standing.seconds + seconds;
  if (!file_.commit(turn)) jobs_.erase(part.entry);
  if (!settings_.turn_ended) return;
  PartAt now = part;
  now.standing = turn.standing;
  settings_.turn_ended(now);
}

void Night::fail(const PartAt& part, const std::string& error) {
  // One that has been removed meanwhile has not failed.
  if (file_.fail(part.entry, error)) settings_.failed(part, error);
}

bool Night::play_next() {
  if (is_to_stop()) return false;
  const std::vector<PartAt> parts = file_.parts();
  const std::optional<std::size_t> next = next_up(parts, settings_.beyond);
  if (!next) return false;
  const PartAt& part = parts[*next];
  try {
    begin(part);
    const double before = now();
    Turn turn =
        play_turn({core_, file_, settings_.runner, settings_.stop}, job_of(part.entry), part);
    end(part, std::move(turn), now() - before);
  } catch (const DatabaseError& error) {
    if (error.kind() != DatabaseError::Kind::kDamaged) throw;
    fail(part, error.what());
  } catch (const InputError& error) {
    fail(part, error.what());
  }
  return true;
}

}  // namespace sixfold
