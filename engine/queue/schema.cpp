#include "queue/schema.h"

#include <string>

#include "base/format.h"

namespace sixfold {
namespace {

/// In the header of the file; "6fld" in ASCII.
constexpr std::int64_t kApplication = 0x36666c64;
constexpr std::int64_t kVersion = 1;

constexpr const char* kTables = R"sql(
CREATE TABLE run(
  key TEXT PRIMARY KEY,
  value TEXT NOT NULL
) WITHOUT ROWID;
CREATE TABLE entry(
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  kind TEXT NOT NULL CHECK (kind IN ('request', 'lesson')),
  title TEXT NOT NULL,
  source TEXT NOT NULL,
  input TEXT NOT NULL,
  priority INTEGER NOT NULL,
  added TEXT NOT NULL DEFAULT (strftime('%Y-%m-%dT%H:%M:%SZ', 'now')),
  error TEXT
);
CREATE TABLE part(
  entry INTEGER NOT NULL REFERENCES entry ON DELETE CASCADE,
  number INTEGER NOT NULL,
  what TEXT NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN ('roll', 'double', 'planes')),
  position TEXT NOT NULL,
  dice TEXT,
  score TEXT NOT NULL,
  cube TEXT,
  rounds INTEGER NOT NULL DEFAULT 0,
  trials INTEGER NOT NULL DEFAULT 0,
  trials_expected INTEGER NOT NULL DEFAULT 0,
  going_on INTEGER NOT NULL DEFAULT 0,
  trials_each INTEGER NOT NULL DEFAULT 0,
  is_done INTEGER NOT NULL DEFAULT 0,
  beyond INTEGER NOT NULL DEFAULT 0,
  seconds REAL NOT NULL DEFAULT 0,
  wanted_half_width REAL NOT NULL DEFAULT 0,
  half_width REAL,
  is_open INTEGER,
  best TEXT,
  rival TEXT,
  cost REAL,
  cost_standard_error REAL,
  cost_half_width REAL,
  PRIMARY KEY (entry, number)
) WITHOUT ROWID;
CREATE TABLE play(
  entry INTEGER NOT NULL,
  part INTEGER NOT NULL,
  rank INTEGER NOT NULL,
  play TEXT NOT NULL,
  result TEXT NOT NULL,
  trials INTEGER NOT NULL,
  lose_backgammon REAL NOT NULL,
  lose_gammon REAL NOT NULL,
  lose_single REAL NOT NULL,
  win_single REAL NOT NULL,
  win_gammon REAL NOT NULL,
  win_backgammon REAL NOT NULL,
  equity REAL NOT NULL,
  equity_half_width REAL NOT NULL,
  cost REAL,
  cost_half_width REAL,
  cost_at_least REAL,
  best_probability REAL NOT NULL,
  PRIMARY KEY (entry, part, rank),
  FOREIGN KEY (entry, part) REFERENCES part ON DELETE CASCADE
) WITHOUT ROWID;
CREATE TABLE rollout(
  entry INTEGER NOT NULL REFERENCES entry ON DELETE CASCADE,
  plan INTEGER NOT NULL,
  state BLOB NOT NULL,
  PRIMARY KEY (entry, plan)
) WITHOUT ROWID;
CREATE VIEW entries AS
  SELECT entry.id AS entry, entry.title, entry.kind, entry.source, entry.priority, entry.added,
    CASE WHEN entry.error IS NOT NULL THEN 'failed'
         WHEN min(part.is_done) THEN 'done'
         WHEN max(part.trials) > 0 THEN 'begun'
         ELSE 'waiting' END AS state,
    max(part.half_width) AS half_width, sum(part.trials) AS trials,
    total(part.is_open) AS open_verdicts, sum(part.seconds) AS seconds, entry.error
  FROM entry JOIN part ON part.entry = entry.id GROUP BY entry.id;
CREATE VIEW verdicts AS
  SELECT entry.id AS entry, entry.title, part.what, part.position, part.dice, part.score, part.cube,
    part.best, part.rival, part.cost, part.cost_half_width,
    CASE WHEN part.is_open THEN 'open' ELSE 'settled' END AS verdict, part.trials, part.is_done
  FROM entry JOIN part ON part.entry = entry.id
  WHERE part.is_open IS NOT NULL AND entry.error IS NULL;
)sql";

void make(Database& database) {
  Transaction transaction(database);
  // Somebody else may have made it meanwhile.
  if (database.integer_of("PRAGMA user_version") == 0) {
    database.execute(kTables);
    database.execute(format("PRAGMA application_id = {}; PRAGMA user_version = {}", kApplication,
                            kVersion));
  }
  transaction.commit();
}

}  // namespace

Database open_queue(const std::filesystem::path& file, Database::Access access) {
  using Kind = DatabaseError::Kind;
  Database database(file, access);
  const bool is_new = database.integer_of("SELECT count(*) FROM sqlite_schema") == 0 &&
                      database.integer_of("PRAGMA user_version") == 0 &&
                      database.integer_of("PRAGMA application_id") == 0;
  if (is_new && access != Database::Access::kCreate) {
    throw DatabaseError(Kind::kOther, "is empty", file.string(), "a queue's file: see `queue add`");
  }
  if (is_new) make(database);
  if (database.integer_of("PRAGMA application_id") != kApplication) {
    throw DatabaseError(Kind::kOther, "is the database of another program", file.string(),
                        "a queue's file");
  }
  const std::int64_t version = database.integer_of("PRAGMA user_version");
  if (version != kVersion) {
    throw DatabaseError(Kind::kOther, format("has form {}", version), file.string(),
                        format("form {}, that of this version of Sixfold, or a newer Sixfold",
                               kVersion));
  }
  // Readers are not kept waiting, and what has been committed outlives a power failure.
  if (access != Database::Access::kRead) database.execute("PRAGMA journal_mode = WAL");
  database.execute("PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON");
  return database;
}

}  // namespace sixfold
