#include "queue/sqlite.h"

#include <sqlite3.h>

#include <system_error>

namespace sixfold {
namespace {

constexpr int kPatienceMilliseconds = 10'000;

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
  const int flags = access == Access::kRead    ? SQLITE_OPEN_READONLY
                    : access == Access::kWrite ? SQLITE_OPEN_READWRITE
                                               : SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE;
  sqlite3* opened = nullptr;
  const int code = sqlite3_open_v2(name_.c_str(), &opened, flags, nullptr);
  database_.reset(opened);
  if (code != SQLITE_OK) fail(code);
  sqlite3_extended_result_codes(opened, 1);
  sqlite3_busy_timeout(opened, kPatienceMilliseconds);
}

void Database::fail(int code) const {
  using Kind = DatabaseError::Kind;
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

void Database::copy_to(const std::filesystem::path& file) const {
  try {
    prepare("VACUUM INTO ?").bind(file.string()).run();
  } catch (...) {
    std::error_code ignored;
    std::filesystem::remove(file, ignored);
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
