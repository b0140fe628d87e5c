#include "queue/turn_bytes.h"

#include <array>
#include <optional>

namespace sixfold {
namespace {

void add(ByteWriter& bytes, const Standing& at) {
  bytes.add(std::array{at.rounds, at.trials, at.trials_expected, at.going_on, at.trials_each});
  bytes.add(at.is_done);
  bytes.add(at.beyond);
  bytes.add(at.seconds);
  bytes.add(at.wanted);
  bytes.add(at.half_width);
  bytes.add(at.closest.has_value());
  if (!at.closest) return;
  bytes.add_text(at.closest->best);
  bytes.add_text(at.closest->rival);
  bytes.add(at.closest->cost);
  bytes.add(at.closest->is_open);
}

Standing take_standing(ByteReader& bytes) {
  Standing at;
  for (std::uint64_t* const count :
       {&at.rounds, &at.trials, &at.trials_expected, &at.going_on, &at.trials_each}) {
    *count = bytes.take<std::uint64_t>();
  }
  at.is_done = bytes.take_flag();
  at.beyond = bytes.take<std::uint64_t>();
  at.seconds = bytes.take<double>();
  at.wanted = bytes.take<double>();
  at.half_width = bytes.take<std::optional<double>>();
  if (!bytes.take_flag()) return at;
  Closest closest;
  closest.best = bytes.take_text();
  closest.rival = bytes.take_text();
  closest.cost = bytes.take<Estimate>();
  closest.is_open = bytes.take_flag();
  at.closest = closest;
  return at;
}

void add(ByteWriter& bytes, const PlayRow& row) {
  bytes.add_text(row.play);
  bytes.add_text(row.result);
  bytes.add(row.rolled.trials);
  bytes.add(row.rolled.outcomes);
  bytes.add(row.rolled.equity);
  bytes.add(row.rolled.cost);
  bytes.add(row.rolled.at_least);
  bytes.add(row.rolled.best_probability);
}

PlayRow take_row(ByteReader& bytes) {
  PlayRow row;
  row.play = bytes.take_text();
  row.result = bytes.take_text();
  row.rolled.trials = bytes.take<std::uint64_t>();
  row.rolled.outcomes = bytes.take<std::array<Estimate, kOutcomeCount>>();
  row.rolled.equity = bytes.take<Estimate>();
  row.rolled.cost = bytes.take<Estimate>();
  row.rolled.at_least = bytes.take<std::optional<double>>();
  row.rolled.best_probability = bytes.take<double>();
  return row;
}

}  // namespace

void add(ByteWriter& bytes, const TurnTask& task) {
  bytes.add(task.entry.id);
  bytes.add(task.entry.kind);
  bytes.add_text(task.entry.title);
  bytes.add_text(task.entry.source);
  bytes.add_text(task.entry.input);
  bytes.add(task.part.number);
  bytes.add(task.part.kind);
  add(bytes, task.part.standing);
}

TurnTask take_turn_task(ByteReader& bytes) {
  TurnTask task;
  task.entry.id = task.part.entry = bytes.take<std::int64_t>();
  task.entry.kind = bytes.take<Entry::Kind>();
  task.entry.title = bytes.take_text();
  task.entry.source = bytes.take_text();
  task.entry.input = bytes.take_text();
  task.part.number = bytes.take<int>();
  task.part.kind = bytes.take<Part::Kind>();
  task.part.standing = take_standing(bytes);
  return task;
}

void add(ByteWriter& bytes, const Turn& turn) {
  bytes.add(turn.entry);
  bytes.add(turn.part);
  add(bytes, turn.standing);
  bytes.add(std::uint64_t{turn.plays.size()});
  for (const PlayRow& row : turn.plays) add(bytes, row);
}

Turn take_turn(ByteReader& bytes) {
  Turn turn;
  turn.entry = bytes.take<std::int64_t>();
  turn.part = bytes.take<int>();
  turn.standing = take_standing(bytes);
  const auto plays = bytes.take<std::uint64_t>();
  for (std::uint64_t i = 0; i < plays; ++i) turn.plays.push_back(take_row(bytes));
  return turn;
}

}  // namespace sixfold
