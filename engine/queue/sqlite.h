/// SQLite as values: the project's one room for it.
///
/// A Database and its statements belong to one thread at a time; several processes may have the same
/// file open.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "base/input_error.h"

struct sqlite3;
struct sqlite3_stmt;

namespace sixfold {

/// What a database can't do, and whether that is for lack of room or because it is damaged.
class DatabaseError : public InputError {
 public:
  enum class Kind : std::uint8_t { kFull, kDamaged, kOther };
  DatabaseError(Kind kind, std::string complaint, std::string where, std::string expected)
      : InputError(std::move(complaint), std::move(where), std::move(expected)), kind_(kind) {}
  [[nodiscard]] Kind kind() const noexcept { return kind_; }

 private:
  Kind kind_;
};

class Database;

/// A prepared statement. Values are bound in the order of its question marks.
class Statement {
 public:
  Statement& bind(std::int64_t value);
  Statement& bind(int value) { return bind(std::int64_t{value}); }
  Statement& bind(std::uint64_t value) { return bind(static_cast<std::int64_t>(value)); }
  Statement& bind(bool value) { return bind(std::int64_t{value}); }
  Statement& bind(double value);
  Statement& bind(const std::string& text);
  Statement& bind_bytes(std::string_view bytes);
  template <typename Value>
  Statement& bind(const std::optional<Value>& value) {
    return value ? bind(*value) : bind_null();
  }

  /// To the next row. Throws DatabaseError.
  [[nodiscard]] bool step();
  /// For statements without rows.
  void run();

  // Columns of the row, from 0.
  [[nodiscard]] bool is_null(int column) const;
  [[nodiscard]] std::int64_t integer(int column) const;
  [[nodiscard]] std::uint64_t count(int column) const {
    return static_cast<std::uint64_t>(integer(column));
  }
  [[nodiscard]] double number(int column) const;
  [[nodiscard]] std::string text(int column) const;  ///< Bytes too.
  [[nodiscard]] std::optional<double> maybe_number(int column) const {
    return is_null(column) ? std::nullopt : std::optional(number(column));
  }
  [[nodiscard]] std::optional<std::string> maybe_text(int column) const {
    return is_null(column) ? std::nullopt : std::optional(text(column));
  }

 private:
  friend class Database;
  struct Finalize {
    void operator()(sqlite3_stmt* statement) const noexcept;
  };
  Statement(const Database& database, sqlite3_stmt* statement)
      : database_(&database), statement_(statement) {}
  Statement& bind_null();
  void check(int code) const;

  const Database* database_;
  std::unique_ptr<sqlite3_stmt, Finalize> statement_;
  int bound_ = 0;
};

class Database {
 public:
  enum class Access : std::uint8_t { kRead, kWrite, kCreate };
  /// Waits up to ten seconds for others that write. Throws DatabaseError, also for a file that does
  /// not exist unless it is to be created. Leaves nothing beside the file when the last one closes
  /// it, where the folder can be written to; elsewhere it can be read nevertheless.
  Database(const std::filesystem::path& file, Access access);

  [[nodiscard]] const std::string& name() const noexcept { return name_; }
  /// One or more statements without values and rows. Throws DatabaseError.
  void execute(const std::string& sql);
  [[nodiscard]] Statement prepare(const std::string& sql) const;
  /// Of a statement with one row and one column.
  [[nodiscard]] std::int64_t integer_of(const std::string& sql) const;
  [[nodiscard]] std::int64_t last_row() const;
  /// A whole copy, others may write meanwhile; takes the place of a file of that name. Throws
  /// DatabaseError; then there is no copy, and what was there before still is.
  void copy_to(const std::filesystem::path& file) const;

 private:
  friend class Statement;
  struct Close {
    void operator()(sqlite3* database) const noexcept;
  };
  [[noreturn]] void fail(int code) const;

  std::string name_;
  std::unique_ptr<sqlite3, Close> database_;
};

/// Everything up to commit(), or nothing.
class Transaction {
 public:
  /// Begins to write at once, so that nobody else does.
  explicit Transaction(Database& database) : database_(database) {
    database_.execute("BEGIN IMMEDIATE");
  }
  ~Transaction();
  Transaction(const Transaction&) = delete;
  Transaction& operator=(const Transaction&) = delete;

  void commit() {
    database_.execute("COMMIT");
    is_open_ = false;
  }

 private:
  Database& database_;
  bool is_open_ = true;
};

}  // namespace sixfold
