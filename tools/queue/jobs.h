/// From what is put into a queue to what is rolled out, and the other way round.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "queue/night.h"
#include "tools/questions.h"

namespace sixfold::tools {

/// An entry, read. A request has a question for each of its scores; a lesson has none but its plan.
struct ReadEntry {
  Job job;
  std::vector<Asked> asked;
};

/// Reads an entry as `rollout`, `cube` and `lesson` would: requests without dice are about
/// doubling. Throws InputError for what can't be answered.
[[nodiscard]] ReadEntry read_entry(const Entry& entry, const Core& core);

/// What would be found out too late: at night. Throws InputError for a finished game, and for a
/// cube that the score does not allow.
void require_answer(const Decision& decision);
/// An entry that is put in, and what is rolled out of it.
using NewEntry = std::pair<Entry, std::vector<Part>>;
/// An entry that can be put in: its title, where it has none, from what it asks. Throws InputError
/// as read_entry().
[[nodiscard]] NewEntry new_entry(Entry entry, const Core& core);

/// The entries of an input: a lesson's file (.json), requests (.jsonl), or "-", requests on
/// standard input. `complaints` gets a line for each request that can't be answered. Throws
/// InputError for what can't be read at all.
[[nodiscard]] std::vector<NewEntry> entries_of(const std::string& input, int priority,
                                               const Core& core,
                                               std::vector<std::string>& complaints);

}  // namespace sixfold::tools
