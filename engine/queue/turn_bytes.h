/// Turns as bytes, for those that another process of the same program plays: what is to be played,
/// and what it brought. Reading throws InputError for bytes that end too early.
#pragma once

#include <string>

#include "base/bytes.h"
#include "queue/queue_file.h"

namespace sixfold {

/// A turn that is to be played: a part of an entry, with all that can't be looked up elsewhere.
struct TurnTask {
  Entry entry;
  PartAt part;
};
void add(ByteWriter& bytes, const TurnTask& task);
[[nodiscard]] TurnTask take_turn_task(ByteReader& bytes);

/// Of plays, what a queue's file holds of them.
void add(ByteWriter& bytes, const Turn& turn);
[[nodiscard]] Turn take_turn(ByteReader& bytes);

}  // namespace sixfold
