#include "tools/queue/commands.h"

#include <algorithm>
#include <iterator>
#include <utility>

#include "base/format.h"
#include "base/input_error.h"
#include "queue/next_up.h"
#include "queue/queue_file.h"
#include "report/json/json_report.h"
#include "report/words/phrases.h"
#include "tools/places.h"
#include "tools/progress.h"
#include "tools/queue/answers.h"
#include "tools/queue/jobs.h"
#include "tools/terminal.h"

namespace sixfold::tools {
namespace {

using Access = Database::Access;

/// Whether an entry's verdicts are settled, so far as there are any.
std::string verdict_words(const EntryAt& at) {
  if (at.open > 0) return at.parts == 1 ? "open" : format("{} open", at.open);
  return at.state == "done" ? "settled" : at.state == "begun" ? "none open" : "";
}

std::string line_of(const QueueFile& file, const EntryAt& at) {
  const std::string width = at.half_width ? format("± {:.4f}", *at.half_width) : "";
  const std::optional<double> left = seconds_left_of(file, at);
  std::string line =
      format("{:>5}  {:<7} {:>10} {:>8}  {:<11} {:<9} {}", at.id, at.state, count_words(at.trials),
             width, verdict_words(at), left && *left > 0.0 ? time_text(*left) : "", at.title);
  if (at.error) line += "\n       " + *at.error;
  return line + "\n";
}

/// The line below all others: how many there are in each state, and what they take together.
std::string total_of(const QueueFile& file, const std::vector<EntryAt>& list) {
  std::vector<std::string> parts;
  for (const char* state : {"done", "begun", "waiting", "failed"}) {
    const auto count = std::count_if(list.begin(), list.end(),
                                     [&](const EntryAt& at) { return at.state == state; });
    if (count > 0) parts.push_back(format("{} {}", count, state));
  }
  std::uint64_t trials = 0;
  for (const EntryAt& at : list) trials += at.trials;
  std::string text = joined(parts) + "; " + count_words(trials) + " trials";
  const std::optional<double> left = sixfold::seconds_left(file.parts());
  if (left && *left > 0.0) text += "; " + time_text(*left) + " left";
  return text + "\n";
}

}  // namespace

int run_queue_add(const QueueOptions& options) {
  PositionOptions without_tables = options.common;
  without_tables.race_points = 0;
  const Engine engine = engine_of(without_tables, 1);
  std::vector<std::pair<Entry, std::vector<Part>>> entries;
  std::vector<std::string> complaints;
  for (const std::string& input : options.inputs) {
    auto more = entries_of(input, options.priority, engine.core(), complaints);
    std::move(more.begin(), more.end(), std::back_inserter(entries));
  }
  if (!complaints.empty()) {
    for (const std::string& complaint : complaints) note(complaint);
    throw InputError(format("{} of the requests can't be answered", complaints.size()), "queue add",
                     "requests that can: nothing was added");
  }
  if (entries.empty()) throw InputError("is empty", options.inputs.front(), "requests");
  QueueFile file(options.db, Access::kCreate);
  for (const std::int64_t id : file.add(entries)) print(format("{}\n", id));
  return kDone;
}

int run_queue_list(const QueueOptions& options) {
  const QueueFile file(options.db, Access::kRead);
  if (options.common.json) {
    for (const std::string& entry : list_lines(file)) print(entry + "\n");
    return kDone;
  }
  const std::vector<EntryAt> list = file.list();
  std::string text = format("{:>5}  {:<7} {:>10} {:>8}  {:<11} {:<9} {}\n", "entry", "state",
                            "trials", "known to", "verdict", "left", "title");
  for (const EntryAt& at : list) text += line_of(file, at);
  text += total_of(file, list) +
          "Known to: half-width of the costs that the verdict hangs on; of several the widest.\n";
  print(list.empty() ? "The queue is empty.\n" : text);
  return kDone;
}

int run_queue_results(const QueueOptions& options) {
  QueueFile file(options.db, Access::kRead);
  Engine engine = engine_for(file, options);
  bool any_failed = false;
  for (const Entry& entry : chosen(file, options.entries)) {
    any_failed = any_failed || entry.error;
    std::vector<std::string> lines;
    try {
      lines = answers_of(file, entry, engine.core());
    } catch (const InputError& error) {
      // What is damaged does not stop the rest, as in a run.
      lines = {error_json("null", format("entry {}: {}", entry.id, error.what()))};
      any_failed = true;
    }
    for (const std::string& line : lines) print(line + "\n");
  }
  return any_failed ? kBadInput : kDone;
}

int run_queue_remove(const QueueOptions& options) {
  QueueFile file(options.db, Access::kWrite);
  for (const std::int64_t id : options.entries) file.remove(id);
  return kDone;
}

int run_queue_retry(const QueueOptions& options) {
  QueueFile file(options.db, Access::kWrite);
  std::vector<std::int64_t> entries = options.entries;
  if (entries.empty()) {
    for (const Entry& entry : file.entries()) {
      if (entry.error) entries.push_back(entry.id);
    }
  }
  for (const std::int64_t id : entries) file.retry(id);
  return kDone;
}

int run_queue_backup(const QueueOptions& options) {
  Files().reads(options.db).writes(options.out, "--out", false);
  QueueFile(options.db, Access::kRead).copy_to(options.out);
  return kDone;
}

}  // namespace sixfold::tools
