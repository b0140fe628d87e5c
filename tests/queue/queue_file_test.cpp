// What a queue's file keeps, and what it never keeps by halves.
#include "queue/queue_file.h"

#include "queue/queue_fixtures.h"
#include "rules/error_checks.h"

namespace sixfold {

TEST_CASE("Entries are added all or none, and their numbers are never given again") {
  const Room room;
  QueueFile file(room / "queue.db", Access::kCreate);
  CHECK(file.add({some_entry("a"), some_entry("b")}) == std::vector<std::int64_t>{1, 2});
  // Something goes wrong at the last part of the last entry.
  tell(room / "queue.db",
       "CREATE TRIGGER no_z BEFORE INSERT ON part WHEN new.what = 'z'"
       " BEGIN SELECT RAISE(ABORT, 'no z'); END");
  Part forbidden = some_part();
  forbidden.what = "z";
  CHECK_THROWS_AS(file.add({some_entry("c"), some_entry("d", {some_part(), forbidden})}),
                  DatabaseError);
  CHECK(titles_in(file) == std::vector<std::string>{"a", "b"});
  CHECK(file.parts().size() == 2);
  file.remove(2);
  CHECK(file.add({some_entry("e")}) == std::vector<std::int64_t>{3});
}

TEST_CASE("Entries and parts come back as they were put in") {
  const Room room;
  NewEntry entry = some_entry("Where to?", {some_part(), some_part(Part::Kind::kDouble),
                                            some_part(Part::Kind::kPlanes)});
  entry.first.kind = Entry::Kind::kLesson;
  entry.first.input = "{\"a\":\"ü\n\"}";
  entry.first.priority = -3;
  static_cast<void>(QueueFile(room / "queue.db", Access::kCreate).add({entry}));
  const QueueFile file(room / "queue.db", Access::kRead);
  const Entry back = file.required_entry(1);
  CHECK(back.kind == Entry::Kind::kLesson);
  CHECK(back.title == entry.first.title);
  CHECK(back.source == entry.first.source);
  CHECK(back.input == entry.first.input);
  CHECK(back.priority == -3);
  CHECK_FALSE(back.error);
  CHECK_FALSE(file.entry(2));
  check_error(error_of([&] { static_cast<void>(file.required_entry(2)); }), "no entry 2",
              "queue.db", "queue list");
  const std::vector<PartAt> parts = file.parts();
  REQUIRE(parts.size() == 3);
  for (std::size_t i = 0; i < 3; ++i) {
    CHECK(parts[i].entry == 1);
    CHECK(parts[i].number == static_cast<int>(i));
    CHECK(parts[i].what == "21 at money");
    CHECK(parts[i].priority == -3);
    CHECK(parts[i].standing.rounds == 0);
    CHECK_FALSE(parts[i].standing.is_done);
  }
  CHECK(parts[1].kind == Part::Kind::kDouble);
  CHECK(parts[2].kind == Part::Kind::kPlanes);
}

TEST_CASE("A turn comes back as it was committed, and its plays may be read with SQL") {
  const Room room;
  QueueFile file(room / "queue.db", Access::kCreate);
  static_cast<void>(file.add({some_entry("a", {some_part(), some_part()})}));
  const Turn turn = some_turn(1, 1);
  CHECK(file.commit(some_turn(1, 1)));
  CHECK(file.commit(turn));
  const Standing back = file.parts_of(1).at(1).standing;
  CHECK(back.rounds == 2);
  CHECK(back.trials == 360);
  CHECK(back.trials_expected == 1440);
  CHECK(back.going_on == 2);
  CHECK(back.trials_each == 144);
  CHECK(back.is_done);
  CHECK(back.beyond == 1);
  CHECK(back.seconds == 1.5);
  CHECK(back.wanted == 0.01);
  CHECK(back.half_width == 0.02);
  REQUIRE(back.closest);
  CHECK(back.closest->best == "6/5 6/4");
  CHECK(back.closest->rival == "6/3");
  CHECK(back.closest->cost == turn.standing.closest->cost);
  CHECK(back.closest->is_open);
  CHECK_FALSE(file.parts_of(1).at(0).standing.closest);
  const fs::path path = room / "queue.db";
  CHECK(asked(path, "SELECT count(*) FROM play WHERE entry = 1 AND part = 1") == 2);
  CHECK(asked(path, "SELECT trials FROM play WHERE win_single = 1 AND cost = 0") == 144);
  CHECK(asked(path, "SELECT count(*) FROM play WHERE cost IS NULL AND cost_at_least = 0.25") == 1);
  CHECK(asked(path, "SELECT count(*) FROM verdicts WHERE verdict = 'open' AND rival = '6/3'") == 1);
}

TEST_CASE("Entries wait, are begun, are done, or have failed") {
  const Room room;
  QueueFile file(room / "queue.db", Access::kCreate);
  static_cast<void>(file.add({some_entry("a", {some_part(), some_part()})}));
  const auto at = [&] { return file.list().at(0); };
  CHECK(at().state == "waiting");
  CHECK_FALSE(at().half_width);
  CHECK(file.commit(some_turn(1, 0)));
  CHECK(at().state == "begun");
  CHECK(at().trials == 360);
  CHECK(at().half_width == 0.02);
  CHECK(at().parts == 2);
  CHECK(at().open == 1);
  CHECK(file.commit(some_turn(1, 1)));
  CHECK(at().state == "done");
  CHECK(at().seconds == 3.0);
  CHECK(file.fail(1, "its state is damaged"));
  CHECK(at().state == "failed");
  CHECK(at().error == "its state is damaged");
  CHECK(file.parts().empty());
  CHECK(file.parts_of(1).size() == 2);
}

TEST_CASE("States are kept by entry and plan, and the last one counts") {
  const Room room;
  QueueFile file(room / "queue.db", Access::kCreate);
  static_cast<void>(file.add({some_entry("a"), some_entry("b")}));
  const std::string bytes("one\0two", 7);
  // A plan is any 64 bits.
  constexpr std::uint64_t kPlan = 0xfedcba9876543210;
  CHECK_FALSE(file.is_begun());
  file.keep_state(1, kPlan, "before");
  file.keep_state(1, kPlan, bytes);
  file.keep_state(2, kPlan, "another");
  CHECK(file.is_begun());
  CHECK(file.state(1, kPlan) == bytes);
  CHECK(file.state(2, kPlan) == "another");
  CHECK_FALSE(file.state(1, 0));
}

TEST_CASE("What is removed goes with all that was played of it, and nothing is kept of it later") {
  const Room room;
  const fs::path path = room / "queue.db";
  QueueFile file(path, Access::kCreate);
  static_cast<void>(file.add({some_entry("a"), some_entry("b")}));
  for (const std::int64_t id : {1, 2}) {
    file.keep_state(id, 7, "state");
    CHECK(file.commit(some_turn(id)));
  }
  file.remove(1);
  file.keep_state(1, 7, "late");
  CHECK_FALSE(file.commit(some_turn(1)));
  CHECK_FALSE(file.fail(1, "late"));
  CHECK(titles_in(file) == std::vector<std::string>{"b"});
  CHECK_FALSE(file.state(1, 7));
  for (const char* const table : {"part", "play", "rollout"}) {
    CHECK(asked(path, std::string("SELECT count(*) FROM ") + table + " WHERE entry = 1") == 0);
    CHECK(asked(path, std::string("SELECT count(*) FROM ") + table + " WHERE entry = 2") > 0);
  }
  CHECK_THROWS_AS(file.remove(1), InputError);
}

TEST_CASE("Only what has failed is begun anew, and then as if it had just been added") {
  const Room room;
  const fs::path path = room / "queue.db";
  QueueFile file(path, Access::kCreate);
  static_cast<void>(file.add({some_entry("a")}));
  file.keep_state(1, 7, "state");
  CHECK(file.commit(some_turn(1)));
  check_error(error_of([&] { file.retry(1); }), "has not failed", "queue.db", "one that has");
  CHECK(file.state(1, 7) == "state");
  CHECK(file.fail(1, "its state is damaged"));
  file.retry(1);
  CHECK(file.list().at(0).state == "waiting");
  CHECK_FALSE(file.state(1, 7));
  CHECK(asked(path, "SELECT count(*) FROM play") == 0);
  const std::string columns =
      "kind, what, position, dice, score, cube, rounds, trials, trials_expected, going_on,"
      " trials_each, is_done, beyond, seconds, wanted_half_width, half_width, is_open, best, rival,"
      " cost, cost_standard_error, cost_half_width";
  static_cast<void>(file.add({some_entry("a")}));
  CHECK(asked(path, "SELECT count(*) FROM (SELECT " + columns + " FROM part WHERE entry = 1" +
                        " INTERSECT SELECT " + columns + " FROM part WHERE entry = 2)") == 1);
  CHECK_THROWS_AS(file.retry(9), InputError);
}

TEST_CASE("What a queue was run with is known again, and refused where it is junk") {
  const Room room;
  QueueFile file(room / "queue.db", Access::kCreate);
  CHECK_FALSE(file.run_by());
  file.set_run_by({"standard/1", "0.1", "/nets/a.safetensors", 8});
  file.set_run_by({"standard/2", "0.2", "/nets/b.safetensors", 9});
  const auto by = file.run_by();
  REQUIRE(by);
  CHECK(by->net == "standard/2");
  CHECK(by->version == "0.2");
  CHECK(by->net_file == "/nets/b.safetensors");
  CHECK(by->race_points == 9);
  tell(room / "queue.db", "UPDATE run SET value = 'many' WHERE key = 'race_points'");
  check_error(error_of([&] { static_cast<void>(file.run_by()); }), "'many' is no number",
              "queue.db", "6");
}

TEST_CASE("A copy is whole while somebody writes, and is a queue like any other") {
  const Room room;
  QueueFile writer(room / "queue.db", Access::kCreate);
  static_cast<void>(writer.add({some_entry("a")}));
  Database halfway(room / "queue.db", Access::kWrite);
  halfway.execute("BEGIN IMMEDIATE; UPDATE entry SET title = 'half'");
  QueueFile(room / "queue.db", Access::kRead).copy_to(room / "copy.db");
  halfway.execute("ROLLBACK");
  QueueFile copy(room / "copy.db", Access::kWrite);
  CHECK_NOTHROW(copy.check());
  CHECK(titles_in(copy) == std::vector<std::string>{"a"});
  CHECK(copy.add({some_entry("b")}) == std::vector<std::int64_t>{2});
  CHECK(titles_in(writer) == std::vector<std::string>{"a"});
}

TEST_CASE("A copy that can't be made leaves what was there before, and nothing else") {
  const Room room;
  fs::create_directory(room / "from");
  QueueFile file(room / "from/queue.db", Access::kCreate);
  static_cast<void>(file.add({some_entry("a")}));
  fs::create_directories(room / "copy.db/inside");
  CHECK_THROWS_AS(file.copy_to(room / "copy.db"), DatabaseError);
  CHECK_THROWS_AS(file.copy_to(room / "nowhere/copy.db"), DatabaseError);
  CHECK(fs::exists(room / "copy.db/inside"));
  CHECK(room.count() == 2);
  // A file of that name is taken the place of.
  write_bytes(room / "old.db", "a letter");
  file.copy_to(room / "old.db");
  CHECK(titles_in(QueueFile(room / "old.db", Access::kRead)).size() == 1);
}

}  // namespace sixfold
