#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "base/atomic_file.h"
#include "base/clean_text.h"
#include "base/file_place.h"
#include "base/format.h"
#include "base/input_error.h"
#include "queue/queue_file.h"
#include "report/page/night_page.h"
#include "report/page/sheet.h"
#include "report/tables/csv.h"
#include "tools/progress.h"
#include "tools/queue/answers.h"
#include "tools/terminal.h"

namespace sixfold::tools {
namespace {

constexpr const char* kIndex = "index.html";

NightEntry::State state_of(const EntryAt& at) {
  using State = NightEntry::State;
  if (at.error) return State::kFailed;
  return at.state == "done" ? State::kDone : at.trials > 0 ? State::kBegun : State::kWaiting;
}

/// The files of a report: sheets as they are told, the tables and the first page at the end.
class ReportFolder {
 public:
  ReportFolder(QueueFile& file, Core& core, const QueueOptions& options)
      : file_(file), core_(core), folder_(options.out) {
    night_.made_by = core.provenance();
    night_.command = options.command;
  }

  void add(const EntryAt& at) {
    NightEntry told{{at.id, at.title}, state_of(at)};
    told.trials = at.trials;
    told.seconds = at.seconds;
    const std::optional<Entry> entry = file_.entry(at.id);
    if (!entry) return;  // It has been removed meanwhile.
    if (at.error) {
      told.error = *at.error;
    } else {
      look_up(*entry, told);
    }
    night_.entries.push_back(std::move(told));
  }

  void finish() {
    write_table("plays.csv", "a line for each play", plays_);
    write_table("doubles.csv", "a line for each doubling decision", doubles_);
    write(kIndex, night_html(night_));
  }

 private:
  void write(const std::string& name, const std::string& text) const {
    if (is_same_file(folder_ / name, file_.name())) {
      throw InputError("is the queue itself", (folder_ / name).string(), "another folder");
    }
    write_file_atomically(folder_ / name, text);
  }
  void write_table(const char* name, const char* what, const Csv& csv) {
    if (csv.heading.empty()) return;
    write(name, csv.text());
    night_.tables.push_back({name, what});
  }
  static void append(Csv& table, const Csv& more) {
    table.heading = more.heading;
    table.lines += more.lines;
  }

  /// What can't be read of one entry is told in its place; the others have nothing to do with it.
  void look_up(const Entry& entry, NightEntry& told) {
    std::optional<Found> found;
    try {
      found = found_of(file_, entry, core_);
    } catch (const InputError& error) {
      told.state = NightEntry::State::kFailed;
      told.error = error.what();
    }
    if (found && !(found->lesson.cells.empty() && found->lesson.doubles.empty())) {
      tell(*found, told);
    }
  }
  void tell(const Found& found, NightEntry& told) {
    const Lesson& lesson = found.lesson;
    told.findings = findings_of(lesson);
    told.sheet = format("entry-{}.html", told.name.number);
    write(told.sheet, lesson_html(lesson, found.telling, {false, night_.command, kIndex}));
    const Provenance& made_by = core_.provenance();
    for (const RolledDecision& cell : lesson.cells) {
      append(plays_, entry_csv(told.name, rollout_csv(cell, made_by)));
    }
    for (const CubeStudy& study : lesson.doubles) {
      append(doubles_, entry_csv(told.name, cube_csv(study, made_by)));
    }
  }

  QueueFile& file_;
  Core& core_;
  std::filesystem::path folder_;
  NightReport night_;
  Csv plays_;
  Csv doubles_;
};

}  // namespace

int run_queue_report(const QueueOptions& options) {
  QueueFile file(options.db, Database::Access::kRead);
  const std::vector<EntryAt> list = file.list();
  if (list.empty()) throw InputError("holds no entries", options.db, "some: see `queue add`");
  require_folder_for_files(options.out, "--out", options.common.force);
  Engine engine = engine_for(file, options);
  ReportFolder folder(file, engine.core(), options);
  ProgressLine line(options.common.quiet);
  for (std::size_t i = 0; i < list.size(); ++i) {
    if (line.is_due()) line.show(format("{} of {} entries told", i, list.size()));
    folder.add(list[i]);
  }
  folder.finish();
  line.clear();
  print("Written: " + clean_line((std::filesystem::path(options.out) / kIndex).string()) + "\n");
  return kDone;
}

}  // namespace sixfold::tools
