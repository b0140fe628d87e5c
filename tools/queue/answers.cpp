#include "tools/queue/answers.h"

#include <atomic>

#include "base/format.h"
#include "base/input_error.h"
#include "queue/next_up.h"
#include "report/json/json_report.h"
#include "rules/notation.h"
#include "tools/queue/jobs.h"

namespace sixfold::tools {
namespace {

const std::atomic<bool> kStopped{true};

/// The seconds that the parts of an entry took, by kind.
LessonTelling telling_of(const std::vector<PartAt>& parts, const Provenance& made_by) {
  LessonTelling telling{made_by, 0.0, {}, {}};
  for (const PartAt& part : parts) {
    const double seconds = part.standing.seconds;
    telling.seconds += seconds;
    if (part.kind == Part::Kind::kRoll) telling.cell_seconds.push_back(seconds);
    if (part.kind == Part::Kind::kPlanes) telling.flip_seconds.push_back(seconds);
  }
  return telling;
}

/// A request as a lesson that holds its one question at all its scores.
LessonPlan plan_of(const ReadEntry& read, const Entry& entry) {
  if (read.job.lesson) return *read.job.lesson;
  const RolloutQuestion& first = read.job.questions.front();
  LessonPlan plan;
  plan.title = entry.title;
  plan.position = first.decision.position;
  plan.cube = parse_asked_cube(read.asked.front().question.cube);
  plan.money = first.decision.money;
  plan.settings = first.settings;
  plan.doubling = !first.decision.roll;
  if (first.decision.roll) {
    plan.rolls = {*first.decision.roll};
    if (first.wanted.alone) plan.remarks = {{*first.decision.roll, "", first.wanted.named}};
  }
  for (const RolloutQuestion& question : read.job.questions) {
    plan.scores.push_back(question.decision.score);
  }
  return plan;
}

Lesson lesson_of_request(const ReadEntry& read, const Entry& entry, Core& core,
                         TrialRunner& runner) {
  Lesson lesson{plan_of(read, entry), {}, {}, {}};
  for (const RolloutQuestion& question : read.job.questions) {
    bool is_finished = false;
    if (question.decision.roll) {
      RolledDecision rolled = core.roll_out(question, runner);
      is_finished = !rolled.result.interrupted;
      if (!rolled.result.plays.empty()) lesson.cells.push_back(std::move(rolled));
    } else if (auto study = core.roll_out_cube(question, runner)) {
      is_finished = !(study->rolled && study->rolled->interrupted);
      lesson.doubles.push_back(std::move(*study));
    }
    lesson.stopped = lesson.stopped || !is_finished;
  }
  return lesson;
}

}  // namespace

void require_players(const QueueFile& file, const Core& core) {
  const std::optional<RunBy> before = file.run_by();
  if (!before || !file.is_begun()) return;
  const auto require = [&](const char* what, const std::string& theirs, const std::string& ours) {
    if (theirs == ours) return;
    throw InputError(format("was begun with {} {}, and this is {}", what, theirs, ours),
                     file.name(), "the same, or a queue of its own");
  };
  const Provenance& now = core.provenance();
  require("net", before->net, now.net);
  require("version", before->version, now.version);
  require("race points", std::to_string(before->race_points), std::to_string(core.race_points()));
}

std::vector<std::string> list_lines(const QueueFile& file) {
  std::vector<std::string> lines;
  for (const EntryAt& at : file.list()) {
    lines.push_back(queue_json({at.id, at.state, at.title, at.half_width, at.trials, at.parts,
                                at.open, at.seconds, seconds_left_of(file, at), at.error}));
  }
  return lines;
}

std::optional<double> seconds_left_of(const QueueFile& file, const EntryAt& at) {
  return at.error ? std::nullopt : seconds_left(file.parts_of(at.id));
}

Engine engine_for(const QueueFile& file, const QueueOptions& options) {
  const std::optional<RunBy> by = file.run_by();
  PositionOptions common = options.common;
  if (by && common.net.empty()) common.net = by->net_file;
  if (options.race_points > 0) {
    common.race_points = options.race_points;
  } else if (by) {
    common.race_points = by->race_points;
  }
  Engine engine = engine_of(common, options.threads);
  require_players(file, engine.core());
  return engine;
}

std::vector<Entry> chosen(const QueueFile& file, const std::vector<std::int64_t>& ids) {
  if (ids.empty()) return file.entries();
  std::vector<Entry> entries;
  for (const std::int64_t id : ids) entries.push_back(file.required_entry(id));
  return entries;
}

Found found_of(QueueFile& file, const Entry& entry, Core& core) {
  const ReadEntry read = read_entry(entry, core);
  EntryStates states(file, entry.id, EntryStates::Use::kGoOn);
  ThreadRunner runner(1, {&kStopped}, &states);
  return {read.job.lesson ? core.lesson(*read.job.lesson, runner)
                          : lesson_of_request(read, entry, core, runner),
          telling_of(file.parts_of(entry.id), core.provenance()), read.asked};
}

std::vector<std::string> answers_of(QueueFile& file, const Entry& entry, Core& core) {
  if (entry.error) return {error_json("null", format("entry {}: {}", entry.id, *entry.error))};
  const Found found = found_of(file, entry, core);
  const Lesson& lesson = found.lesson;
  if (lesson.cells.empty() && lesson.doubles.empty()) return {};
  if (entry.kind == Entry::Kind::kLesson) return {lesson_json(lesson, found.telling)};
  std::vector<std::string> lines;
  for (std::size_t i = 0; i < lesson.cells.size(); ++i) {
    const Telling telling{core.provenance(), found.telling.cell_seconds[i], false,
                          found.asked[i].ledger};
    lines.push_back(rollout_json(lesson.cells[i], telling, found.asked[i].name()));
  }
  for (std::size_t i = 0; i < lesson.doubles.size(); ++i) {
    lines.push_back(cube_json(lesson.doubles[i], core.provenance(), found.asked[i].name()));
  }
  return lines;
}

}  // namespace sixfold::tools
