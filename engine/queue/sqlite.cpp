#include "queue/sqlite.h"

#include <sqlite3.h>

#include <cerrno>
#include <system_error>

#include "base/process_lock.h"

namespace sixfold {
namespace {

namespace fs = std::filesystem;

constexpr int kPatienceMilliseconds = 10'000;

bool can_be_written(const fs::path& file) { return access(file.c_str(), W_OK) == 0; }

/// As a name that says: nobody changes the file, so that nothing has to be put beside it.
std::string unchanging(const fs::path& file) {
  std::string name = "file:";
  for (const char c : fs::absolute(file).string()) {
    if (c == '%' || c == '?' || c == '#') {
      name += c == '%' ? "%25" : c == '?' ? "%3f" : "%23";
    } else {
      name += c;
    }
  }
  return name + "?immutable=1";
}

struct Opening {
  std::string name;
  int flags;
};

Opening opening_of(const fs::path& file, Database::Access access) {
  if (access == Database::Access::kCreate) {
    return {file.string(), SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE};
  }
  // What reads takes the right to write where it can: the last one to close a file takes away what
  // lies beside it, and only those with that right do.
  const fs::path folder = file.has_parent_path() ? file.parent_path() : ".";
  if (access == Database::Access::kWrite || (can_be_written(file) && can_be_written(folder))) {
    return {file.string(), SQLITE_OPEN_READWRITE};
  }
  // Where nothing can be put beside it, it can be read with a log that somebody else writes, or
  // when nobody does.
  std::error_code none;
  const auto log_size = fs::file_size(file.string() + "-wal", none);
  if (!none && log_size > 0) return {file.string(), SQLITE_OPEN_READONLY};
  return {unchanging(file), SQLITE_OPEN_READONLY | SQLITE_OPEN_URI};
}

/// Whether a failure to read or write is for lack of room.
bool is_lack_of_room(sqlite3* database, int code) {
  if (code == SQLITE_IOERR_SHMSIZE) return true;
  const int reason = database == nullptr ? 0 : sqlite3_system_errno(database);
  return reason == ENOSPC || reason == EDQUOT;
}

}  // namespace

void Statement::Finalize::operator()(sqlite3_stmt* statement) const noexcept {
  sqlite3_finalize(statement);
}

void Statement::check(int code) const {
  if (code != SQLITE_OK) database_->fail(code);
}

Statement& Statement::bind(std::int64_t value) {
  check(sqlite3_bind_int64(statement_.get(), ++bound_, value));
  return *this;
}

Statement& Statement::bind(double value) {
  check(sqlite3_bind_double(statement_.get(), ++bound_, value));
  return *this;
}

Statement& Statement::bind(const std::string& text) {
  check(sqlite3_bind_text64(statement_.get(), ++bound_, text.data(), text.size(), SQLITE_TRANSIENT,
                            SQLITE_UTF8));
  return *this;
}

Statement& Statement::bind_bytes(std::string_view bytes) {
  check(sqlite3_bind_blob64(statement_.get(), ++bound_, bytes.data(), bytes.size(),
                            SQLITE_TRANSIENT));
  return *this;
}

Statement& Statement::bind_null() {
  check(sqlite3_bind_null(statement_.get(), ++bound_));
  return *this;
}

bool Statement::step() {
  const int code = sqlite3_step(statement_.get());
  if (code == SQLITE_ROW) return true;
  if (code != SQLITE_DONE) database_->fail(code);
  return false;
}

void Statement::run() { static_cast<void>(step()); }

bool Statement::is_null(int column) const {
  return sqlite3_column_type(statement_.get(), column) == SQLITE_NULL;
}

std::int64_t Statement::integer(int column) const {
  return sqlite3_column_int64(statement_.get(), column);
}

double Statement::number(int column) const {
  return sqlite3_column_double(statement_.get(), column);
}

std::string Statement::text(int column) const {
  const void* const bytes = sqlite3_column_blob(statement_.get(), column);
  const auto size = static_cast<std::size_t>(sqlite3_column_bytes(statement_.get(), column));
  return bytes == nullptr ? std::string() : std::string(static_cast<const char*>(bytes), size);
}

void Database::Close::operator()(sqlite3* database) const noexcept { sqlite3_close_v2(database); }

Database::Database(const std::filesystem::path& file, Access access) : name_(file.string()) {
  if (access != Access::kCreate && !fs::exists(file)) {
    throw DatabaseError(DatabaseError::Kind::kOther, "is not there", name_,
                        "a queue's file: see `queue add`");
  }
  const Opening opening = opening_of(file, access);
  sqlite3* opened = nullptr;
  const int code = sqlite3_open_v2(opening.name.c_str(), &opened, opening.flags, nullptr);
  database_.reset(opened);
  if (code != SQLITE_OK) fail(code);
  sqlite3_extended_result_codes(opened, 1);
  sqlite3_busy_timeout(opened, kPatienceMilliseconds);
}

void Database::fail(int code) const {
  using Kind = DatabaseError::Kind;
  if ((code & 0xff) == SQLITE_IOERR && is_lack_of_room(database_.get(), code)) code = SQLITE_FULL;
  switch (code & 0xff) {
    case SQLITE_FULL:
      throw DatabaseError(Kind::kFull, "there is no room left to write to", name_,
                          "free space on its disk");
    case SQLITE_CORRUPT:
      throw DatabaseError(Kind::kDamaged, "is damaged", name_, "a copy from `queue backup`");
    case SQLITE_NOTADB:
      throw DatabaseError(Kind::kDamaged, "is no database", name_, "a queue's file");
    case SQLITE_BUSY:
      throw DatabaseError(Kind::kOther, "another program has it locked", name_,
                          "that to end first");
    case SQLITE_READONLY:
      throw DatabaseError(Kind::kOther, "can't be written to", name_,
                          "a file and a folder that can");
    case SQLITE_CANTOPEN:
      throw DatabaseError(Kind::kOther, "can't be opened", name_,
                          "a queue's file in a folder that can be written to");
    default:
      throw DatabaseError(Kind::kOther,
                          std::string("the database says: ") +
                              (database_ ? sqlite3_errmsg(database_.get()) : sqlite3_errstr(code)),
                          name_, "");
  }
}

void Database::execute(const std::string& sql) {
  const int code = sqlite3_exec(database_.get(), sql.c_str(), nullptr, nullptr, nullptr);
  if (code != SQLITE_OK) fail(code);
}

Statement Database::prepare(const std::string& sql) const {
  sqlite3_stmt* statement = nullptr;
  const int code = sqlite3_prepare_v2(database_.get(), sql.c_str(), -1, &statement, nullptr);
  Statement prepared(*this, statement);
  if (code != SQLITE_OK) fail(code);
  return prepared;
}

std::int64_t Database::integer_of(const std::string& sql) const {
  Statement statement = prepare(sql);
  return statement.step() ? statement.integer(0) : 0;
}

std::int64_t Database::last_row() const { return sqlite3_last_insert_rowid(database_.get()); }

namespace {

/// One process at a time makes a copy of that name.
ProcessLock lock_of_copy(const fs::path& file) {
  try {
    return {file.string() + ".lock",
            InputError("another process copies to it", file.string(), "another name")};
  } catch (const InputError& error) {
    throw DatabaseError(DatabaseError::Kind::kOther, error.complaint(), error.where(),
                        error.expected());
  }
}

}  // namespace

void Database::copy_to(const fs::path& file) const {
  // Under another name first: what bears the copy's name is whole, even if this process is killed.
  const ProcessLock lock = lock_of_copy(file);
  const fs::path partial = file.string() + ".sixfold-partial";
  std::error_code ignored;
  fs::remove(partial, ignored);
  try {
    prepare("VACUUM INTO ?").bind(partial.string()).run();
    // As the original is, and on the disk.
    Database(partial, Access::kWrite)
        .execute("PRAGMA synchronous = FULL; PRAGMA journal_mode = WAL");
    std::error_code error;
    fs::rename(partial, file, error);
    if (error) {
      throw DatabaseError(DatabaseError::Kind::kOther, "can't be written: " + error.message(),
                          file.string(), "a place for a copy");
    }
  } catch (...) {
    fs::remove(partial, ignored);
    throw;
  }
}

Transaction::~Transaction() {
  if (!is_open_) return;
  try {
    database_.execute("ROLLBACK");
  } catch (const DatabaseError&) {
    // SQLite has rolled back by itself: after a full disk, for one.
  }
}

}  // namespace sixfold
