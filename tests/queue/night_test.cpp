// A night's turns: what comes out of any number of them, in any order and however interrupted, is
// what comes out of one run; what goes wrong with one entry stays with it.
#include "queue/night.h"

#include <algorithm>
#include <atomic>
#include <catch2/catch.hpp>
#include <map>
#include <string>
#include <vector>

#include "queue/queue_fixtures.h"
#include "rules/notation.h"
#include "session/sixfold.h"

namespace sixfold {
namespace {

Core& core() {
  static Engine kEngine({.net = fs::path(SIXFOLD_NETS) / "standard.safetensors", .threads = 2});
  return kEngine.core();
}

RolloutQuestion question(const char* position, const char* dice, double half_width,
                         const char* cube = "none") {
  const Decision decision = core().decision({.position = position, .dice = dice, .cube = cube});
  return {decision, core().settings({.trials = 36, .half_width = half_width}), {}, {}};
}

Job lesson_job() {
  LessonPlan plan;
  plan.position = parse_position("6x2 5 3 / 24 6 5 4");
  plan.rolls = {parse_roll("31")};
  plan.flips = plan.rolls;
  plan.scores = {parse_score("money", core().match_table())};
  plan.cube = AskedCube(Cube{});
  plan.doubling = true;
  plan.settings = core().settings({.trials = 36, .half_width = 0.2});
  plan.flip_trials = 36;
  return {questions_of(plan), plan};
}

/// What entries ask for, by their titles.
const std::map<std::string, Job>& jobs() {
  static const std::map<std::string, Job> kJobs{
      {"roll", {{question("8 6 5 / 24 6 5", "21", 0.05)}}},
      {"cube", {{question("6x2 5 3 / 24 6 5 4", "31", 0.2, "centred")}}},
      {"double", {{question("6x2 5 3 / 24 6 5 4", "", 0.15, "centred")}}},
      {"two", {{question("3x2 2 / 24 1", "61", 0.05), question("3x2 2 / 24 1", "41", 0.05)}}},
      {"lesson", lesson_job()}};
  return kJobs;
}

NewEntry entry_named(const std::string& title) {
  return some_entry(title, parts_of(jobs().at(title)));
}

/// States of an entry as bytes, one after the other.
std::string states_of(const fs::path& path, std::int64_t entry) {
  const Database database(path, Access::kRead);
  Statement row = database.prepare("SELECT state FROM rollout WHERE entry = ? ORDER BY plan");
  row.bind(entry);
  std::string states;
  while (row.step()) states += row.text(0);
  return states;
}

/// A queue and what its entries held after each of their turns.
struct Played {
  Room room{};
  fs::path path = room / "queue.db";
  std::map<std::int64_t, std::string> titles{};
  std::map<std::string, std::vector<std::string>> states{};
  std::vector<PartAt> turns{};
  std::vector<std::string> failures{};

  void add(const std::vector<std::string>& names) {
    QueueFile file(path, Access::kCreate);
    for (const std::string& name : names) titles[file.add({entry_named(name)}).front()] = name;
  }
  [[nodiscard]] std::vector<EntryAt> list() const { return QueueFile(path, Access::kRead).list(); }
};

struct Slice {
  int turns = 1'000'000;     ///< So many of them,
  std::uint64_t trials = 0;  ///< and so many trials of each; 0: all.
  int threads = 2;
  bool beyond = false;
  std::function<void(const PartAt&)> turn_started{};
};

void run(Played& played, const Slice& slice) {
  QueueFile file(played.path, Access::kWrite);
  std::atomic<bool> stop{false};
  int turns = 0;
  double seconds = 0.0;
  NightSettings settings;
  settings.beyond = slice.beyond;
  settings.stop = &stop;
  settings.runner = [&](StateKeeper& keeper) {
    RunControl control{&stop, {}};
    if (slice.trials > 0) {
      control.progress = [&, first = std::uint64_t{0}](const RolloutProgress& at) mutable {
        if (first == 0) first = at.trials_done;
        if (at.trials_done >= first + slice.trials) stop = true;
      };
    }
    return std::make_unique<ThreadRunner>(slice.threads, control, &keeper);
  };
  settings.clock = [&] { return seconds += 0.25; };
  settings.turn_started = slice.turn_started;
  settings.turn_ended = [&](const PartAt& part) {
    played.turns.push_back(part);
    played.states[played.titles[part.entry]].push_back(states_of(played.path, part.entry));
    if (++turns >= slice.turns) stop = true;
  };
  settings.failed = [&](const PartAt& part, const std::string& error) {
    played.failures.push_back(played.titles[part.entry] + ": " + error);
  };
  const auto read = [](const Entry& entry) { return jobs().at(entry.title); };
  Night(file, core(), read, settings).run();
}

bool is_all_done(const Played& played) {
  const std::vector<EntryAt> list = played.list();
  return std::all_of(list.begin(), list.end(),
                     [](const EntryAt& at) { return at.state == "done"; });
}

/// An entry played to its end in a queue of its own.
const Played& alone(const std::string& title) {
  static std::map<std::string, Played> all;
  Played& played = all[title];
  if (played.titles.empty()) {
    played.add({title});
    run(played, {});
    REQUIRE(is_all_done(played));
  }
  return played;
}

bool is_part_of(const std::vector<std::string>& some, const std::vector<std::string>& all) {
  auto next = some.begin();
  for (const std::string& state : all) {
    if (next != some.end() && *next == state) ++next;
  }
  return next == some.end();
}

/// Where the state of an entry begins in a queue's file.
std::size_t place_of_state(const std::string& bytes) {
  const std::size_t at = bytes.find("sixfold rollout state");
  REQUIRE(at != std::string::npos);
  return at;
}

}  // namespace

TEST_CASE("What a part holds after some turns is the same whatever else is in the queue") {
  Played together;
  together.add({"roll", "cube", "double", "lesson"});
  run(together, {});
  CHECK(is_all_done(together));
  for (const char* const title : {"roll", "cube", "double"}) {
    INFO(title);
    CHECK(alone(title).states.at(title).size() > 2);
    CHECK((together.states.at(title) == alone(title).states.at(title)));
  }
  CHECK((together.states.at("lesson").back() == alone("lesson").states.at("lesson").back()));
}

TEST_CASE("So it is in one night or in many, on however many threads") {
  Played nights;
  nights.add({"roll", "double", "two"});
  for (int threads = 1; !is_all_done(nights); threads = threads % 3 + 1) {
    run(nights, {.turns = 1, .threads = threads});
  }
  for (const char* const title : {"roll", "double"}) {
    CHECK((nights.states.at(title) == alone(title).states.at(title)));
  }
  CHECK((nights.states.at("two").back() == alone("two").states.at("two").back()));
}

TEST_CASE("Turns that are cut short come to the same rounds") {
  Played cut;
  cut.add({"roll", "cube"});
  for (int nights = 0; !is_all_done(cut); ++nights) {
    REQUIRE(nights < 1000);
    run(cut, {.trials = 100});
  }
  for (const char* const title : {"roll", "cube"}) {
    INFO(title);
    CHECK(cut.states.at(title).size() > alone(title).states.at(title).size());
    CHECK(is_part_of(alone(title).states.at(title), cut.states.at(title)));
    CHECK((cut.states.at(title).back() == alone(title).states.at(title).back()));
  }
}

TEST_CASE("What a turn says is what the file says") {
  const Played& played = alone("roll");
  const PartAt told = played.turns.back();
  const PartAt kept = QueueFile(played.path, Access::kRead).parts_of(1).at(0);
  CHECK(kept.standing.rounds == told.standing.rounds);
  CHECK(kept.standing.trials == told.standing.trials);
  CHECK(kept.standing.half_width == told.standing.half_width);
  CHECK(*kept.standing.half_width <= 0.05);
  CHECK(kept.standing.wanted == 0.05);
  // A quarter of a second for each look at the clock.
  CHECK(kept.standing.seconds == 0.25 * static_cast<double>(played.turns.size()));
  CHECK(asked(played.path, "SELECT count(*) FROM play WHERE rank = 1 AND best_probability > 0") ==
        1);
}

TEST_CASE("Planes come last, and a lesson is done with them") {
  const Played& played = alone("lesson");
  REQUIRE(played.turns.size() > 3);
  CHECK(played.turns.back().kind == Part::Kind::kPlanes);
  CHECK(std::count_if(played.turns.begin(), played.turns.end(),
                      [](const PartAt& part) { return part.kind == Part::Kind::kPlanes; }) == 1);
  // A double, a cell, and the corners of the plane.
  CHECK(asked(played.path, "SELECT count(*) FROM rollout") >= 6);
}

TEST_CASE("A damaged state fails its entry, and the rest goes on") {
  Played played;
  played.add({"roll", "double"});
  run(played, {.turns = 1});
  std::string bytes = read_bytes(played.path);
  bytes[place_of_state(bytes) + 300] ^= 1;
  write_bytes(played.path, bytes);
  run(played, {});
  const std::vector<EntryAt> list = played.list();
  CHECK(list.at(0).state == "failed");
  CHECK_THAT(list.at(0).error.value_or(""), Catch::Contains("is damaged"));
  CHECK_THAT(list.at(0).error.value_or(""), Catch::Contains("entry 1"));
  CHECK(list.at(1).state == "done");
  REQUIRE(played.failures.size() == 1);
  CHECK_THAT(played.failures[0], Catch::Contains("roll") && Catch::Contains("is damaged"));
  // Begun anew it ends as if nothing had happened.
  QueueFile(played.path, Access::kWrite).retry(1);
  run(played, {});
  CHECK(is_all_done(played));
  CHECK((states_of(played.path, 1) == alone("roll").states.at("roll").back()));
}

TEST_CASE("An entry that can't be read any more fails alone") {
  Played played;
  played.add({"roll", "double"});
  tell(played.path, "UPDATE entry SET title = 'unknown' WHERE id = 1");
  QueueFile file(played.path, Access::kWrite);
  NightSettings settings;
  settings.clock = [] { return 0.0; };
  settings.runner = [](StateKeeper& keeper) {
    return std::make_unique<ThreadRunner>(2, RunControl{}, &keeper);
  };
  settings.failed = [&](const PartAt& part, const std::string& error) {
    CHECK(part.entry == 1);
    played.failures.push_back(error);
  };
  const auto read = [](const Entry& entry) {
    if (entry.title == "unknown") throw InputError("is unknown", "title", "a known one");
    return jobs().at(entry.title);
  };
  Night(file, core(), read, settings).run();
  CHECK(played.failures == std::vector<std::string>{"title: is unknown; expected a known one"});
  CHECK(file.list().at(0).state == "failed");
  CHECK(file.list().at(1).state == "done");
}

TEST_CASE("An entry that is removed while it is played is gone, and has not failed") {
  Played played;
  played.add({"roll", "double", "two"});
  run(played, {.turns = 1});
  int started = 0;
  run(played, {.turn_started = [&](const PartAt& part) {
        // One that is known to the night already, one that it has not read.
        QueueFile other(played.path, Access::kWrite);
        if (part.entry == 3 && ++started == 1) other.remove(3);
        if (part.entry == 1 && part.standing.rounds == 2) other.remove(1);
      }});
  CHECK(played.failures.empty());
  REQUIRE(played.list().size() == 1);
  CHECK(played.list().at(0).title == "double");
  CHECK(is_all_done(played));
  CHECK(asked(played.path, "SELECT count(*) FROM rollout WHERE entry <> 2") == 0);
}

TEST_CASE("An entry that is added while others are played is played too") {
  Played played;
  played.add({"roll"});
  bool is_added = false;
  run(played, {.turn_started = [&](const PartAt&) {
        if (!std::exchange(is_added, true)) played.add({"double"});
      }});
  CHECK(played.list().size() == 2);
  CHECK(is_all_done(played));
  CHECK((played.states.at("double") == alone("double").states.at("double")));
}

TEST_CASE("With time left over an open verdict goes on, and what is known of it is never in part") {
  Played played;
  played.add({"cube"});
  run(played, {});
  const Standing before = played.turns.back().standing;
  REQUIRE(before.closest->is_open);
  bool went_on = false;
  while (!went_on) {
    run(played, {.turns = 1, .beyond = true});
    const Standing now = played.turns.back().standing;
    went_on = now.beyond > 1;
    CHECK(now.is_done);
    CHECK(now.beyond >= 1);
    CHECK(is_all_done(played));
    QueueFile file(played.path, Access::kWrite);
    EntryStates states(file, 1, EntryStates::Use::kGoOn);
    const std::atomic<bool> stopped{true};
    ThreadRunner runner(1, {&stopped}, &states);
    const RolledDecision known = core().roll_out(jobs().at("cube").questions.front(), runner);
    CHECK_FALSE(known.result.interrupted);
    CHECK(closest_of(known)->cost == now.closest->cost);
    if (!now.closest->is_open) break;
  }
  CHECK(*played.turns.back().standing.half_width < *before.half_width);
}

}  // namespace sixfold
