#include "queue/queue_file.h"

#include <array>
#include <charconv>
#include <utility>

#include "base/format.h"

namespace sixfold {
namespace {

constexpr std::array<const char*, 2> kEntryKinds{"request", "lesson"};
constexpr std::array<const char*, 3> kPartKinds{"roll", "double", "planes"};

template <typename Kind, std::size_t n>
Kind kind_of(const std::string& text, const std::array<const char*, n>& kinds) {
  std::size_t kind = 0;
  while (kind + 1 < n && text != kinds[kind]) ++kind;
  return static_cast<Kind>(kind);
}

constexpr const char* kEntryColumns = "id, kind, title, source, input, priority, error";

Entry entry_of(const Statement& row) {
  return {row.integer(0),   kind_of<Entry::Kind>(row.text(1), kEntryKinds),
          row.text(2),      row.text(3),
          row.text(4),      static_cast<int>(row.integer(5)),
          row.maybe_text(6)};
}

constexpr const char* kParts =
    "SELECT part.entry, number, part.kind, what, priority, rounds, trials, trials_expected,"
    " going_on, is_done, beyond, seconds, half_width, is_open, best, rival, cost,"
    " cost_standard_error, cost_half_width, wanted_half_width, trials_each FROM part JOIN entry ON "
    "entry.id = part.entry ";

PartAt part_of(const Statement& row) {
  PartAt part{row.integer(0),
              static_cast<int>(row.integer(1)),
              kind_of<Part::Kind>(row.text(2), kPartKinds),
              row.text(3),
              static_cast<int>(row.integer(4)),
              {}};
  Standing& standing = part.standing;
  standing.rounds = row.count(5);
  standing.trials = row.count(6);
  standing.trials_expected = row.count(7);
  standing.going_on = row.count(8);
  standing.is_done = row.integer(9) != 0;
  standing.beyond = row.count(10);
  standing.seconds = row.number(11);
  standing.half_width = row.maybe_number(12);
  standing.wanted = row.number(19);
  standing.trials_each = row.count(20);
  if (!row.is_null(13)) {
    Estimate cost;
    cost.mean = row.number(16);
    cost.standard_error = row.number(17);
    cost.half_width = row.number(18);
    standing.closest = Closest{row.text(14), row.text(15), cost, row.integer(13) != 0};
  }
  return part;
}

std::vector<PartAt> parts_by(Statement statement) {
  std::vector<PartAt> parts;
  while (statement.step()) parts.push_back(part_of(statement));
  return parts;
}

}  // namespace

QueueFile::QueueFile(const std::filesystem::path& file, Database::Access access)
    : database_(open_queue(file, access)) {}

std::vector<std::int64_t> QueueFile::add(
    const std::vector<std::pair<Entry, std::vector<Part>>>& entries) {
  std::vector<std::int64_t> ids;
  Transaction transaction(database_);
  for (const auto& [entry, parts] : entries) {
    database_
        .prepare("INSERT INTO entry(kind, title, source, input, priority) VALUES (?, ?, ?, ?, ?)")
        .bind(std::string(kEntryKinds[static_cast<std::size_t>(entry.kind)]))
        .bind(entry.title)
        .bind(entry.source)
        .bind(entry.input)
        .bind(entry.priority)
        .run();
    ids.push_back(database_.last_row());
    int number = 0;
    for (const Part& part : parts) {
      database_
          .prepare(
              "INSERT INTO part(entry, number, kind, what, position, dice, score, cube)"
              " VALUES (?, ?, ?, ?, ?, ?, ?, ?)")
          .bind(ids.back())
          .bind(number++)
          .bind(std::string(kPartKinds[static_cast<std::size_t>(part.kind)]))
          .bind(part.what)
          .bind(part.position)
          .bind(part.dice)
          .bind(part.score)
          .bind(part.cube)
          .run();
    }
  }
  transaction.commit();
  return ids;
}

std::vector<Entry> QueueFile::entries() const {
  Statement statement =
      database_.prepare(format("SELECT {} FROM entry ORDER BY id", kEntryColumns));
  std::vector<Entry> entries;
  while (statement.step()) entries.push_back(entry_of(statement));
  return entries;
}

std::optional<Entry> QueueFile::entry(std::int64_t id) const {
  Statement statement =
      database_.prepare(format("SELECT {} FROM entry WHERE id = ?", kEntryColumns));
  statement.bind(id);
  return statement.step() ? std::optional(entry_of(statement)) : std::nullopt;
}

Entry QueueFile::required_entry(std::int64_t id) const {
  std::optional<Entry> found = entry(id);
  if (!found) {
    throw InputError(format("there is no entry {}", id), name(),
                     "an entry that `queue list` names");
  }
  return std::move(*found);
}

std::vector<EntryAt> QueueFile::list() const {
  Statement row = database_.prepare(
      "SELECT entries.entry, title, state, entries.half_width, entries.trials,"
      " sum(trials_expected), count(*), open_verdicts, entries.seconds, entries.error"
      " FROM entries JOIN part ON part.entry = entries.entry GROUP BY entries.entry"
      " ORDER BY entries.entry");
  std::vector<EntryAt> list;
  while (row.step()) {
    list.push_back({row.integer(0), row.text(1), row.text(2), row.maybe_number(3), row.count(4),
                    row.count(5), row.integer(6), row.integer(7), row.number(8),
                    row.maybe_text(9)});
  }
  return list;
}

std::vector<PartAt> QueueFile::parts() const {
  return parts_by(
      database_.prepare(std::string(kParts) + "WHERE error IS NULL ORDER BY part.entry, number"));
}

std::vector<PartAt> QueueFile::parts_of(std::int64_t id) const {
  Statement statement =
      database_.prepare(std::string(kParts) + "WHERE part.entry = ? ORDER BY number");
  statement.bind(id);
  return parts_by(std::move(statement));
}

void QueueFile::remove(std::int64_t id) {
  Transaction transaction(database_);
  static_cast<void>(required_entry(id));
  database_.prepare("DELETE FROM entry WHERE id = ?").bind(id).run();
  transaction.commit();
}

void QueueFile::retry(std::int64_t id) {
  Transaction transaction(database_);
  if (!required_entry(id).error) {
    throw InputError(format("entry {} has not failed", id), name(), "one that has");
  }
  for (const char* const table : {"rollout", "play"}) {
    database_.prepare(format("DELETE FROM {} WHERE entry = ?", table)).bind(id).run();
  }
  database_.prepare("UPDATE entry SET error = NULL WHERE id = ?").bind(id).run();
  for (const PartAt& part : parts_of(id)) write_standing(id, part.number, {});
  transaction.commit();
}

bool QueueFile::fail(std::int64_t id, const std::string& error) {
  Transaction transaction(database_);
  if (!entry(id)) return false;
  database_.prepare("UPDATE entry SET error = ? WHERE id = ?").bind(error).bind(id).run();
  transaction.commit();
  return true;
}

std::optional<std::string> QueueFile::state(std::int64_t id, std::uint64_t plan) {
  Statement statement = database_.prepare("SELECT state FROM rollout WHERE entry = ? AND plan = ?");
  statement.bind(id).bind(plan);
  return statement.step() ? std::optional(statement.text(0)) : std::nullopt;
}

void QueueFile::keep_state(std::int64_t id, std::uint64_t plan, std::string_view bytes) {
  database_
      .prepare(
          "INSERT OR REPLACE INTO rollout(entry, plan, state)"
          " SELECT id, ?, ? FROM entry WHERE id = ?")
      .bind(plan)
      .bind_bytes(bytes)
      .bind(id)
      .run();
}

void QueueFile::write_standing(std::int64_t id, int number, const Standing& at) {
  std::optional<bool> is_open;
  std::optional<std::string> best;
  std::optional<std::string> rival;
  std::array<std::optional<double>, 3> cost;
  if (at.closest) {
    is_open = at.closest->is_open;
    best = at.closest->best;
    rival = at.closest->rival;
    const Estimate& its = at.closest->cost;
    cost = {its.mean, its.standard_error, its.half_width};
  }
  database_
      .prepare(
          "UPDATE part SET rounds = ?, trials = ?, trials_expected = ?, going_on = ?, trials_each "
          "= ?, is_done = ?,"
          " beyond = ?, seconds = ?, wanted_half_width = ?, half_width = ?, is_open = ?, best = ?, "
          "rival = ?, cost = ?,"
          " cost_standard_error = ?, cost_half_width = ? WHERE entry = ? AND number = ?")
      .bind(at.rounds)
      .bind(at.trials)
      .bind(at.trials_expected)
      .bind(at.going_on)
      .bind(at.trials_each)
      .bind(at.is_done)
      .bind(at.beyond)
      .bind(at.seconds)
      .bind(at.wanted)
      .bind(at.half_width)
      .bind(is_open)
      .bind(best)
      .bind(rival)
      .bind(cost[0])
      .bind(cost[1])
      .bind(cost[2])
      .bind(id)
      .bind(number)
      .run();
}

void QueueFile::write_plays(const Turn& turn) {
  database_.prepare("DELETE FROM play WHERE entry = ? AND part = ?")
      .bind(turn.entry)
      .bind(turn.part)
      .run();
  int rank = 0;
  for (const PlayRow& row : turn.plays) {
    Statement insert = database_.prepare(
        "INSERT INTO play VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)");
    insert.bind(turn.entry).bind(turn.part).bind(++rank).bind(row.play).bind(row.result);
    const RolledPlay& rolled = row.rolled;
    insert.bind(rolled.trials);
    for (const Estimate& outcome : rolled.outcomes) insert.bind(outcome.mean);
    insert.bind(rolled.equity.mean).bind(rolled.equity.half_width);
    const bool is_told = !rolled.at_least;
    insert.bind(is_told ? std::optional(rolled.cost.mean) : std::nullopt)
        .bind(is_told ? std::optional(rolled.cost.half_width) : std::nullopt)
        .bind(rolled.at_least)
        .bind(rolled.best_probability)
        .run();
  }
}

bool QueueFile::commit(const Turn& turn) {
  Transaction transaction(database_);
  if (!entry(turn.entry)) return false;
  write_standing(turn.entry, turn.part, turn.standing);
  write_plays(turn);
  transaction.commit();
  return true;
}

std::optional<RunBy> QueueFile::run_by() const {
  Statement statement = database_.prepare("SELECT key, value FROM run");
  std::optional<RunBy> by;
  while (statement.step()) {
    if (!by) by.emplace();
    const std::string key = statement.text(0);
    const std::string value = statement.text(1);
    if (key == "net") by->net = value;
    if (key == "version") by->version = value;
    if (key == "net_file") by->net_file = value;
    if (key != "race_points") continue;
    const char* const end = value.data() + value.size();
    const auto [last, error] = std::from_chars(value.data(), end, by->race_points);
    if (error != std::errc() || last != end) {
      throw DatabaseError(DatabaseError::Kind::kDamaged, "'" + value + "' is no number of points",
                          name() + ", table run", "such as 6");
    }
  }
  return by;
}

void QueueFile::set_run_by(const RunBy& by) {
  Transaction transaction(database_);
  const std::array<std::pair<const char*, std::string>, 4> values{
      {{"net", by.net},
       {"version", by.version},
       {"net_file", by.net_file},
       {"race_points", std::to_string(by.race_points)}}};
  for (const auto& [key, value] : values) {
    database_.prepare("INSERT OR REPLACE INTO run(key, value) VALUES (?, ?)")
        .bind(std::string(key))
        .bind(value)
        .run();
  }
  transaction.commit();
}

bool QueueFile::is_begun() const {
  return database_.integer_of("SELECT EXISTS (SELECT 1 FROM rollout)") != 0;
}

void QueueFile::check() const {
  Statement statement = database_.prepare("PRAGMA quick_check(1)");
  const std::string found = statement.step() ? statement.text(0) : "nothing";
  if (found != "ok") {
    throw DatabaseError(DatabaseError::Kind::kDamaged, "is damaged: " + found, name(),
                        "a copy from `queue backup`");
  }
}

}  // namespace sixfold
