/// What a queue has found, told as the commands tell it that answer at once.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "queue/night.h"
#include "report/telling.h"
#include "session/core.h"
#include "tools/questions.h"
#include "tools/queue/commands.h"

namespace sixfold::tools {

/// The engine that a queue has been run with, or the one of the options where it has not been.
/// Throws InputError where the options name a net that has not begun it, and for another version.
[[nodiscard]] Engine engine_for(const QueueFile& file, const QueueOptions& options);

/// States belong to what played them: throws InputError where another net, version or race points
/// have begun the queue.
void require_players(const QueueFile& file, const Core& core);

/// Nothing before the first trials, or where there will be no more.
[[nodiscard]] std::optional<double> seconds_left_of(const QueueFile& file, const EntryAt& at);
/// The lines of `queue list --json`.
[[nodiscard]] std::vector<std::string> list_lines(const QueueFile& file);

/// Entries by their ids, or all. Throws InputError for ids that are none.
[[nodiscard]] std::vector<Entry> chosen(const QueueFile& file,
                                        const std::vector<std::int64_t>& ids);

/// An entry as a lesson, as far as it is known: a request is one with a single roll or double.
struct Found {
  Lesson lesson;
  LessonTelling telling;
  std::vector<Asked> asked;  ///< The request at its scores.
};
[[nodiscard]] Found found_of(QueueFile& file, const Entry& entry, Core& core);

/// JSON lines; an error's where the entry has failed; none where nothing is known yet.
[[nodiscard]] std::vector<std::string> answers_of(QueueFile& file, const Entry& entry, Core& core);

}  // namespace sixfold::tools
