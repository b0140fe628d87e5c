/// Short ways to queues, for their tests.
#pragma once

#include <catch2/catch.hpp>
#include <cstdint>
#include <filesystem>
#include <string>
#include <utility>
#include <vector>

#include "evaluator/file_fixtures.h"
#include "queue/queue_file.h"

namespace sixfold {

using Access = Database::Access;
using NewEntry = std::pair<Entry, std::vector<Part>>;

inline Part some_part(Part::Kind kind = Part::Kind::kRoll) {
  return {kind, "21 at money", "6x2 5 / 4x2 3", "21", "money", "centred"};
}

inline NewEntry some_entry(const std::string& title, std::vector<Part> parts = {some_part()}) {
  return {{0, Entry::Kind::kRequest, title, "some.jsonl line 1", "{}", 0, {}}, std::move(parts)};
}

inline std::vector<std::string> titles_in(const QueueFile& file) {
  std::vector<std::string> titles;
  for (const Entry& entry : file.entries()) titles.push_back(entry.title);
  return titles;
}

/// What a turn at a part may have brought.
inline Turn some_turn(std::int64_t entry, int part = 0) {
  Turn turn{entry, part, {}, {}};
  turn.standing.rounds = 2;
  turn.standing.trials = 360;
  turn.standing.trials_expected = 1440;
  turn.standing.going_on = 2;
  turn.standing.trials_each = 144;
  turn.standing.is_done = true;
  turn.standing.beyond = 1;
  turn.standing.seconds = 1.5;
  turn.standing.wanted = 0.01;
  turn.standing.half_width = 0.02;
  turn.standing.closest = Closest{"6/5 6/4", "6/3", {0.015, 0.01, 0.02, 0}, true};
  PlayRow row{"6/5 6/4", "4x2 3 / 5x2 4", {}};
  row.rolled.trials = 144;
  row.rolled.outcomes[3].mean = 1.0;
  turn.plays = {row, {"6/3", "4x2 3 / 6 5 3", {}}};
  turn.plays.back().rolled.at_least = 0.25;
  return turn;
}

/// A statement by itself, as other programs send them.
inline void tell(const std::filesystem::path& file, const std::string& sql) {
  Database(file, Access::kCreate).execute(sql);
}

inline std::int64_t asked(const std::filesystem::path& file, const std::string& sql) {
  return Database(file, Access::kRead).integer_of(sql);
}

}  // namespace sixfold
