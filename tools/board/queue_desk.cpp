#include "tools/board/queue_desk.h"

#include <utility>
#include <vector>

#include "base/format.h"
#include "base/input_error.h"
#include "queue/queue_file.h"
#include "report/json/board_json.h"
#include "report/page/sheet.h"
#include "tools/queue/answers.h"
#include "tools/queue/jobs.h"
#include "tools/terminal.h"

namespace sixfold::tools {

using Access = Database::Access;

QueueDesk::QueueDesk(std::filesystem::path file) : file_(std::move(file)) {
  if (is_there()) {
    static_cast<void>(QueueFile(file_, Access::kRead).list());
  } else {
    require_place_for(file_, "--queue", false);
  }
}

bool QueueDesk::is_there() const { return std::filesystem::exists(file_); }

std::string QueueDesk::list() const {
  return queue_list_json(is_there() ? list_lines(QueueFile(file_, Access::kRead))
                                    : std::vector<std::string>());
}

std::string QueueDesk::add(const std::string& body, const Core& core) const {
  const AskedEntry asked = parse_entry(body);
  Entry entry;
  entry.kind = asked.is_lesson ? Entry::Kind::kLesson : Entry::Kind::kRequest;
  entry.source = "the board";
  entry.input = asked.input;
  entry.priority = asked.priority;
  const std::pair<Entry, std::vector<Part>> added = new_entry(std::move(entry), core);
  return entries_json(QueueFile(file_, Access::kCreate).add({added}));
}

std::string QueueDesk::sheet(std::int64_t entry, Core& core) const {
  if (!is_there()) throw InputError("holds no entries", file_.string(), "some");
  QueueFile file(file_, Access::kRead);
  require_players(file, core);
  const Entry found_entry = file.required_entry(entry);
  if (found_entry.error) {
    throw InputError(*found_entry.error, format("entry {}", entry), "one that has not failed");
  }
  const Found found = found_of(file, found_entry, core);
  if (found.lesson.cells.empty() && found.lesson.doubles.empty()) return "";
  return lesson_html(found.lesson, found.telling,
                     {false, format("sixfold queue report --db {} --out report", file_.string())});
}

}  // namespace sixfold::tools
