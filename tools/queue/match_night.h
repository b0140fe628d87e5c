/// A recorded match and a night's queue: what a review leaves undecided is put into the queue, and
/// what the queue has found comes back.
#pragma once

#include <cstddef>
#include <string>

#include "queue/queue_file.h"
#include "session/core.h"
#include "study/review_depth.h"

namespace sixfold::tools {

struct MatchNight {
  std::size_t answered = 0;  ///< Decisions that are what the queue has found.
  std::size_t waiting = 0;   ///< In the queue before, and not rolled out yet.
  std::size_t added = 0;
};

/// Decisions that cost `bound` or more and are not settled by a rollout. An entry answers one that
/// is the same decision: position, roll, score and cube. Entries that have failed, or can't be
/// read, answer none, and those of another match equity table none either. `name` is the record's.
/// Throws InputError and DatabaseError.
[[nodiscard]] MatchNight ask_night(QueueFile& file, Core& core, const std::string& name,
                                   double bound, MatchReview& review);

}  // namespace sixfold::tools
