// A queue's file: made where there is none, refused where it is another's, damaged or too new, and
// nothing lies beside it afterwards.
#include "queue/schema.h"

#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "queue/queue_fixtures.h"
#include "rules/error_checks.h"

namespace sixfold {
namespace {

void check_refused(const fs::path& file, Access access, const char* complaint) {
  const InputError error = error_of([&] { static_cast<void>(open_queue(file, access)); });
  check_error(error, complaint, file.c_str(), "");
}

/// Runs `action` as a user who may write to nothing here; whether it came to its end.
template <typename Action>
bool succeeds_as_guest(Action action) {
  const pid_t child = fork();
  if (child == 0) {
    constexpr uid_t kNobody = 65534;
    if (geteuid() == 0 && (setgid(kNobody) != 0 || setuid(kNobody) != 0)) _exit(2);
    try {
      _exit(action() ? 0 : 3);
    } catch (const std::exception&) {
      _exit(1);
    }
  }
  int status = 0;
  waitpid(child, &status, 0);
  return WIFEXITED(status) && WEXITSTATUS(status) == 0;
}

}  // namespace

TEST_CASE("A queue is made where there is no file, or an empty one, and only by those who add") {
  const Room room;
  const fs::path file = room / "queue.db";
  check_refused(file, Access::kRead, "is not there");
  check_refused(file, Access::kWrite, "is not there");
  CHECK_FALSE(fs::exists(file));
  write_bytes(file, "");
  check_refused(file, Access::kRead, "is empty");
  check_refused(file, Access::kWrite, "is empty");
  CHECK(open_queue(file, Access::kCreate).integer_of("SELECT count(*) FROM entry") == 0);
  CHECK(open_queue(file, Access::kRead).integer_of("PRAGMA user_version") == 1);
}

TEST_CASE("What is committed outlives the power, and readers need not wait") {
  const Room room;
  static_cast<void>(open_queue(room / "queue.db", Access::kCreate));
  Database again = open_queue(room / "queue.db", Access::kWrite);
  CHECK(again.integer_of("PRAGMA synchronous") == 2);
  Statement mode = again.prepare("PRAGMA journal_mode");
  REQUIRE(mode.step());
  CHECK(mode.text(0) == "wal");
  CHECK(again.integer_of("PRAGMA foreign_keys") == 1);
}

TEST_CASE("The database of another program is refused and left as it is") {
  const Room room;
  tell(room / "stamps.db", "CREATE TABLE stamp(country TEXT)");
  tell(room / "marked.db", "PRAGMA application_id = 77");
  for (const char* const name : {"stamps.db", "marked.db"}) {
    const std::string before = read_bytes(room / name);
    for (const Access access : {Access::kRead, Access::kWrite, Access::kCreate}) {
      check_refused(room / name, access, "of another program");
    }
    CHECK(read_bytes(room / name) == before);
  }
}

TEST_CASE("A newer form is refused by its number") {
  const Room room;
  static_cast<void>(open_queue(room / "queue.db", Access::kCreate));
  tell(room / "queue.db", "PRAGMA user_version = 2");
  for (const Access access : {Access::kRead, Access::kWrite, Access::kCreate}) {
    check_refused(room / "queue.db", access, "has form 2");
  }
}

TEST_CASE("Junk, a folder and a cut file are refused") {
  const Room room;
  write_bytes(room / "letter.txt", std::string(5000, 'x'));
  check_refused(room / "letter.txt", Access::kRead, "is no database");
  check_refused(room / "letter.txt", Access::kCreate, "is no database");
  fs::create_directory(room / "folder");
  check_refused(room / "folder", Access::kRead, "can't be opened");
  static_cast<void>(open_queue(room / "queue.db", Access::kCreate));
  fs::resize_file(room / "queue.db", 4096);
  const auto read_all = [&] { return QueueFile(room / "queue.db", Access::kWrite).list().size(); };
  CHECK_THROWS_AS(read_all(), DatabaseError);
}

TEST_CASE("A damaged page is found by the check") {
  const Room room;
  const fs::path file = room / "queue.db";
  {
    QueueFile queue(file, Access::kCreate);
    std::vector<NewEntry> many;
    for (int i = 0; i < 200; ++i) many.push_back(some_entry("entry " + std::to_string(i)));
    static_cast<void>(queue.add(many));
    CHECK_NOTHROW(queue.check());
  }
  std::string bytes = read_bytes(file);
  const std::int64_t page = asked(
      file, "SELECT rootpage FROM sqlite_schema WHERE name = 'part' AND type = 'table'");
  std::fill_n(bytes.begin() + (page - 1) * 4096, 64, '\x55');
  write_bytes(file, bytes);
  const InputError error = error_of([&] { QueueFile(file, Access::kWrite).check(); });
  check_error(error, "is damaged", "queue.db", "backup");
}

TEST_CASE("Nothing lies beside a queue that nobody has open, whether it was written or read") {
  const Room room;
  const fs::path file = room / "queue.db";
  {
    QueueFile writer(file, Access::kCreate);
    static_cast<void>(writer.add({some_entry("first")}));
    CHECK(titles_in(QueueFile(file, Access::kRead)).size() == 1);
    CHECK(room.count() > 1);
  }
  CHECK(room.count() == 1);
  CHECK(titles_in(QueueFile(file, Access::kRead)).size() == 1);
  CHECK(room.count() == 1);
}

TEST_CASE("What a killed run has left beside a queue is read, and taken away") {
  const Room room;
  const fs::path left = room / "left.db";
  {
    QueueFile writer(room / "queue.db", Access::kCreate);
    static_cast<void>(writer.add({some_entry("first")}));
    for (const char* const end : {"", "-wal"}) {
      fs::copy(room / (std::string("queue.db") + end), left.string() + end);
    }
  }
  CHECK(titles_in(QueueFile(left, Access::kRead)) == std::vector<std::string>{"first"});
  CHECK_FALSE(fs::exists(left.string() + "-wal"));
  CHECK_FALSE(fs::exists(left.string() + "-shm"));
}

TEST_CASE("A queue is read where nothing can be written to") {
  const Room room;
  const fs::path folder = room / "100% read? #only";
  fs::create_directory(folder);
  const fs::path file = folder / "queue.db";
  chmod((room / ".").c_str(), 0755);
  static_cast<void>(QueueFile(file, Access::kCreate).add({some_entry("first")}));
  chmod(file.c_str(), 0444);
  chmod(folder.c_str(), 0555);
  CHECK(succeeds_as_guest([&] { return QueueFile(file, Access::kRead).list().size() == 1; }));
  const bool is_written = succeeds_as_guest([&] {
    static_cast<void>(QueueFile(file, Access::kWrite).add({some_entry("third")}));
    return true;
  });
  CHECK_FALSE(is_written);
  chmod(folder.c_str(), 0755);
}

}  // namespace sixfold
