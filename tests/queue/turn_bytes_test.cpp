// Turns that another process plays arrive as they are.
#include "queue/turn_bytes.h"

#include <catch2/catch.hpp>

#include "base/input_error.h"

namespace sixfold {
namespace {

Standing standing() {
  Standing at;
  at.rounds = 1;
  at.trials = 2;
  at.trials_expected = 3;
  at.going_on = 4;
  at.trials_each = 5;
  at.is_done = true;
  at.beyond = 6;
  at.seconds = 7.5;
  at.wanted = 0.125;
  at.half_width = 0.25;
  at.closest = Closest{"24/14", "13/9 13/7", {0.5, 0.25, 0.75, 9}, true};
  return at;
}

PlayRow row(double equity, std::optional<double> at_least) {
  PlayRow row{"bar/22*", "6x2 / bar", {}};
  row.rolled.trials = 36;
  for (std::size_t o = 0; o < kOutcomeCount; ++o) {
    row.rolled.outcomes[o] = {static_cast<double>(o), 0.1, 0.2, 6};
  }
  row.rolled.equity = {equity, 0.3, 0.4, 6};
  row.rolled.cost = {0.5, 0.6, 0.7, 6};
  row.rolled.at_least = at_least;
  row.rolled.best_probability = 0.875;
  return row;
}

}  // namespace

TEST_CASE("What a turn brought arrives as it is") {
  const Turn sent{12, 3, standing(), {row(0.25, std::nullopt), row(-1.5, 0.125)}};
  ByteWriter bytes;
  add(bytes, sent);
  ByteReader reader(bytes.bytes(), "a test");
  const Turn found = take_turn(reader);
  CHECK(reader.at_end());
  CHECK(found.entry == 12);
  CHECK(found.part == 3);
  CHECK(found.standing == sent.standing);
  REQUIRE(found.plays.size() == 2);
  for (std::size_t i = 0; i < 2; ++i) {
    CHECK(found.plays[i].play == "bar/22*");
    CHECK(found.plays[i].result == "6x2 / bar");
    const RolledPlay& its = found.plays[i].rolled;
    const RolledPlay& own = sent.plays[i].rolled;
    CHECK(its.trials == own.trials);
    CHECK(its.outcomes == own.outcomes);
    CHECK(its.equity == own.equity);
    CHECK(its.cost == own.cost);
    CHECK(its.at_least == own.at_least);
    CHECK(its.best_probability == own.best_probability);
  }
}

TEST_CASE("So does what is to be played, with all that can't be looked up elsewhere") {
  TurnTask sent{{7, Entry::Kind::kLesson, "Title", "lesson.json", "{}", 0, {}},
                {7, 2, Part::Kind::kPlanes, "", 0, standing()}};
  sent.part.standing.closest.reset();
  ByteWriter bytes;
  add(bytes, sent);
  ByteReader reader(bytes.bytes(), "a test");
  const TurnTask found = take_turn_task(reader);
  CHECK(reader.at_end());
  CHECK(found.entry.id == 7);
  CHECK(found.entry.kind == Entry::Kind::kLesson);
  CHECK(found.entry.title == "Title");
  CHECK(found.entry.source == "lesson.json");
  CHECK(found.entry.input == "{}");
  CHECK(found.part.entry == 7);
  CHECK(found.part.number == 2);
  CHECK(found.part.kind == Part::Kind::kPlanes);
  CHECK(found.part.standing == sent.part.standing);
}

TEST_CASE("Turns that are cut off are refused") {
  ByteWriter bytes;
  add(bytes, Turn{12, 3, standing(), {row(0.25, std::nullopt)}});
  for (std::size_t size = 0; size < bytes.bytes().size(); size += 7) {
    ByteReader reader(std::string_view(bytes.bytes()).substr(0, size), "a test");
    CHECK_THROWS_AS(take_turn(reader), InputError);
  }
}

}  // namespace sixfold
