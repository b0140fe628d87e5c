/// A night's queue in one file: entries, how far they have come, and what was played of them.
///
/// What has been committed outlives the process, the power and a full disk. Several processes may
/// read while one runs the queue. Belongs to one thread at a time.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "queue/schema.h"
#include "queue/standing.h"

namespace sixfold {

struct Entry {
  enum class Kind : std::uint8_t { kRequest, kLesson };
  std::int64_t id = 0;
  Kind kind = Kind::kRequest;
  std::string title;
  std::string source;  ///< "positions.jsonl line 3"
  std::string input;   ///< The request's line, or the lesson's text.
  int priority = 0;    ///< Entries of a higher one come first.
  std::optional<std::string> error{};
};

/// What is rolled out as one: a decision, or the planes of a lesson.
struct Part {
  enum class Kind : std::uint8_t { kRoll, kDouble, kPlanes };
  Kind kind = Kind::kRoll;
  std::string what;  ///< "64 at dmp"
  std::string position;
  std::optional<std::string> dice{};
  std::string score;
  std::optional<std::string> cube{};
};

/// A part on its way.
struct PartAt {
  std::int64_t entry = 0;
  int number = 0;
  Part::Kind kind = Part::Kind::kRoll;
  std::string what;
  int priority = 0;
  Standing standing;
};

/// A line of queue list.
struct EntryAt {
  std::int64_t id = 0;
  std::string title;
  std::string state;  ///< waiting, begun, done or failed
  std::optional<double> half_width{};
  std::uint64_t trials = 0;
  std::uint64_t trials_expected = 0;
  std::int64_t parts = 0;
  std::int64_t open = 0;  ///< Verdicts that are.
  double seconds = 0.0;
  std::optional<std::string> error{};
};

/// A play of a part, or what a doubling decision's action is worth, for those who read with SQL.
struct PlayRow {
  std::string play;
  std::string result;
  RolledPlay rolled;
};

/// What a turn at a part has brought.
struct Turn {
  std::int64_t entry = 0;
  int part = 0;
  Standing standing;
  std::vector<PlayRow> plays;
};

/// What the queue is run with: `net` is the provenance's. An entry's states belong to it.
struct RunBy {
  std::string net;
  std::string version;
  std::string net_file;
  int race_points = 6;
};

/// Where the states of entries' rollouts are kept, by the identities of their plans.
class StateStore {
 public:
  StateStore() = default;
  StateStore(const StateStore&) = delete;
  StateStore& operator=(const StateStore&) = delete;
  virtual ~StateStore() = default;

  /// For messages.
  [[nodiscard]] virtual const std::string& name() const noexcept = 0;
  /// The state of one rollout of an entry as bytes; nothing before it is kept.
  [[nodiscard]] virtual std::optional<std::string> state(std::int64_t id, std::uint64_t plan) = 0;
  /// Nothing is kept of an entry that has been removed meanwhile.
  virtual void keep_state(std::int64_t id, std::uint64_t plan, std::string_view bytes) = 0;
};

class QueueFile final : public StateStore {
 public:
  /// Throws DatabaseError as open_queue().
  QueueFile(const std::filesystem::path& file, Database::Access access);

  [[nodiscard]] const std::string& name() const noexcept override { return database_.name(); }

  /// All of them or, when it throws, none. Returns their ids.
  [[nodiscard]] std::vector<std::int64_t> add(
      const std::vector<std::pair<Entry, std::vector<Part>>>& entries);
  [[nodiscard]] std::vector<Entry> entries() const;
  [[nodiscard]] std::optional<Entry> entry(std::int64_t id) const;
  /// Throws InputError for one that is not there.
  [[nodiscard]] Entry required_entry(std::int64_t id) const;
  [[nodiscard]] std::vector<EntryAt> list() const;
  /// Of entries that have not failed, by entry, then number.
  [[nodiscard]] std::vector<PartAt> parts() const;
  /// Of one entry, failed or not.
  [[nodiscard]] std::vector<PartAt> parts_of(std::int64_t id) const;

  /// With all that was played of it. Throws as required_entry().
  void remove(std::int64_t id);
  /// Forgets what was played of an entry that has failed, and why it has. Throws as
  /// required_entry(), and for others.
  void retry(std::int64_t id);
  /// What was played of an entry can't be gone on with. One that has been removed meanwhile is left
  /// alone. Returns whether it is there.
  bool fail(std::int64_t id, const std::string& error);

  [[nodiscard]] std::optional<std::string> state(std::int64_t id, std::uint64_t plan) override;
  void keep_state(std::int64_t id, std::uint64_t plan, std::string_view bytes) override;
  /// Of the entry as it is now; one that has been removed meanwhile is left alone. Returns whether
  /// it is there.
  bool commit(const Turn& turn);

  /// Nothing before the first run.
  [[nodiscard]] std::optional<RunBy> run_by() const;
  void set_run_by(const RunBy& by);
  /// Whether anything has been played.
  [[nodiscard]] bool is_begun() const;

  /// A whole copy as of now, whoever writes meanwhile.
  void copy_to(const std::filesystem::path& file) const { database_.copy_to(file); }
  /// Throws DatabaseError where the database is damaged.
  void check() const;

 private:
  void write_standing(std::int64_t id, int number, const Standing& at);
  void write_plays(const Turn& turn);

  Database database_;
};

}  // namespace sixfold
