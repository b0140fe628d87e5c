#include "exact/table_cache.h"

#include <sys/stat.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <cmath>

#include "evaluator/file_fixtures.h"
#include "exact/exact_tables.h"

namespace sixfold {
namespace {

struct Reports {
  std::vector<std::string> lines;
  TableCache cache(const fs::path& directory) {
    return TableCache(directory, [this](const std::string& line) { lines.push_back(line); });
  }
};

const std::vector<double> kNumbers{1.5, -2.0, 0.25};
const std::vector<std::uint8_t> kBytes{1, 2, 3, 4, 5};
const auto kTaken = [] { return true; };

}  // namespace

TEST_CASE("A table comes back from the cache as it was stored") {
  const Room room;
  Reports reports;
  TableCache cache = reports.cache(room / "deep/directory");
  std::vector<double> numbers;
  std::vector<std::uint8_t> bytes;
  CHECK_FALSE(cache.load("t", {3, 5}, kTaken, numbers, bytes));
  cache.store("t", kNumbers, kBytes);
  CHECK(cache.has("t"));
  CHECK(cache.load("t", {3, 5}, kTaken, numbers, bytes));
  CHECK(numbers == kNumbers);
  CHECK(bytes == kBytes);
  CHECK(reports.lines.empty());
}

TEST_CASE("A cache file with any byte changed, cut off or added to is refused with one line") {
  const Room room;
  Reports reports;
  TableCache cache = reports.cache(room / "");
  cache.store("t", kNumbers, kBytes);
  const std::string whole = read_bytes(cache.file("t"));
  std::vector<double> numbers;
  std::vector<std::uint8_t> bytes;
  std::size_t refused = 0;
  const auto check_refused = [&](const std::string& contents) {
    write_bytes(cache.file("t"), contents);
    REQUIRE_FALSE(cache.load("t", {3, 5}, kTaken, numbers, bytes));
    REQUIRE(reports.lines.size() == ++refused);
    REQUIRE(reports.lines.back().find("t.table is not used") != std::string::npos);
  };
  for (std::size_t i = 0; i < whole.size(); ++i) {
    std::string damaged = whole;
    damaged[i] = static_cast<char>(damaged[i] ^ 4);
    check_refused(damaged);
  }
  for (std::size_t length = 0; length < whole.size(); ++length) {
    check_refused(whole.substr(0, length));
  }
  check_refused(whole + "x");
  check_refused(whole + whole);
  check_refused("something else altogether, of some length, that was never a table of this tool");
}

TEST_CASE("What is no table's file is refused at once: a pipe, a folder, a sparse terabyte") {
  const Room room;
  Reports reports;
  TableCache cache = reports.cache(room / "");
  std::vector<double> numbers;
  REQUIRE(::mkfifo(cache.file("pipe").c_str(), 0600) == 0);
  fs::create_directory(cache.file("folder"));
  write_bytes(cache.file("sparse"), "sixfold table 1: sparse\n");
  REQUIRE(::truncate(cache.file("sparse").c_str(), off_t{1} << 40) == 0);
  for (const char* const name : {"pipe", "folder", "sparse"}) {
    CHECK_FALSE(cache.load(name, {3}, kTaken, numbers));
    CHECK(reports.lines.back().find("is no file of") != std::string::npos);
  }
  CHECK(reports.lines.size() == 3);
}

TEST_CASE("A table whose arrays are others than expected, or hold what they can't, is refused") {
  const Room room;
  Reports reports;
  TableCache cache = reports.cache(room / "");
  cache.store("t", kNumbers, kNumbers);
  std::vector<double> first;
  std::vector<double> second;
  CHECK_FALSE(cache.load("t", {2, 3}, kTaken, first, second));
  CHECK_FALSE(cache.load("t", {2, 4}, kTaken, first, second));
  CHECK_FALSE(cache.load(
      "t", {3, 3}, [&] { return first[1] > 0.0; }, first, second));
  CHECK(reports.lines.size() == 3);
  CHECK(cache.load(
      "t", {3, 3}, [&] { return first[1] == -2.0; }, first, second));
}

TEST_CASE("A table under another's name is refused") {
  const Room room;
  Reports reports;
  TableCache cache = reports.cache(room / "");
  cache.store("t", kNumbers);
  fs::copy_file(cache.file("t"), cache.file("u"));
  std::vector<double> numbers;
  CHECK_FALSE(cache.load("u", {3}, kTaken, numbers));
  REQUIRE(reports.lines.size() == 1);
  CHECK(reports.lines[0].find("something else") != std::string::npos);
}

TEST_CASE("Where nothing can be written, that is said once and all works on") {
  const Room room;
  write_bytes(room / "file", "in the way");
  Reports reports;
  TableCache cache = reports.cache(room / "file");
  cache.store("t", kNumbers);
  cache.store("u", kNumbers);
  std::vector<double> numbers;
  CHECK_FALSE(cache.load("t", {3}, kTaken, numbers));
  REQUIRE(reports.lines.size() == 1);
  CHECK(reports.lines[0].find("works without storing tables") == 0);
  CHECK(read_bytes(room / "file") == "in the way");
}

TEST_CASE("Without a directory a cache keeps nothing and says nothing") {
  Reports reports;
  TableCache cache = reports.cache({});
  cache.store("t", kNumbers);
  std::vector<double> numbers;
  CHECK_FALSE(cache.load("t", {3}, kTaken, numbers));
  CHECK(reports.lines.empty());
}

TEST_CASE("Tables with a right hash and wrong contents are built anew") {
  const Room room;
  Reports reports;
  TableCache cache = reports.cache(room / "");
  Workers workers(2);
  const OneSidedTable built(6, workers);
  const std::size_t size = built.index().size();
  const std::size_t boards = SideIndex(5, kMaxCheckers).size();
  const auto check_refused = [&](const RollDistribution& rolls) {
    const std::size_t before = reports.lines.size();
    cache.store("one-sided-6", std::vector<double>(size, 1.0),
                std::vector<RollDistribution>(size, rolls),
                std::vector<RollDistribution>(boards, RollDistribution()));
    CHECK(OneSidedTable::from_cache(6, workers, cache).hash() == built.hash());
    REQUIRE(reports.lines.size() == before + 1);
    CHECK(reports.lines.back().find("numbers that no such table has") != std::string::npos);
  };
  check_refused({.first = 0, .counts = 25});
  check_refused({.first = 60, .counts = 24});
  check_refused({.probability = {std::nanf("")}, .first = 0, .counts = 1});
  check_refused({.probability = {0.9f, 0.9f}, .first = 0, .counts = 2});

  std::vector<TwoSidedTable::Entry> entries(std::size_t{924} * 924);
  entries[5].hold_owned = 1e300;
  cache.store("two-sided-6", entries);
  reports.lines.clear();
  CHECK(TwoSidedTable::from_cache(workers, cache).hash() == TwoSidedTable(workers).hash());
  CHECK(reports.lines.size() == 1);

  // Those that are computed are taken, rounding and all.
  SolvedGame::Settings settings;
  settings.checkers = 2;
  SolvedGame::solve(settings, workers)->store(cache);
  CHECK(SolvedGame::from_cache(2, cache));
  CHECK(reports.lines.size() == 1);

  const SideIndex one(kBar, 1);
  std::vector<OutcomeDistribution> outcomes(std::size_t{one.size()} * one.size());
  cache.store(SolvedGame::cache_name(1), outcomes);
  CHECK(SolvedGame::from_cache(1, cache));
  outcomes[7][2] = -1.0;
  cache.store(SolvedGame::cache_name(1), outcomes);
  CHECK_FALSE(SolvedGame::from_cache(1, cache));
  CHECK(reports.lines.size() == 2);
}

TEST_CASE("Tables are the same from the cache as built, and rebuilt when a file is damaged") {
  const Room room;
  Reports reports;
  TableCache cache = reports.cache(room / "");
  Workers workers(2);
  const auto check_same = [](const ExactTables& a, const ExactTables& b) {
    const SideIndex index(kHomePoints, TwoSidedTable::kCheckers);
    for (std::uint32_t number = 1; number < index.size(); ++number) {
      Position position{index.side(number), index.side(index.size() - number)};
      position.roller.add(kOff, 9);
      position.opponent.add(kOff, 9);
      REQUIRE(a.two_sided->entry(position) == b.two_sided->entry(position));
      REQUIRE(a.one_sided->race_outcomes(position) == b.one_sided->race_outcomes(position));
    }
  };
  const ExactTables built = ExactTables::bear_offs(6, workers, cache);
  REQUIRE(cache.has("one-sided-6"));
  REQUIRE(cache.has("two-sided-6"));
  check_same(built, ExactTables::bear_offs(6, workers, cache));
  CHECK(reports.lines.empty());
  std::string damaged = read_bytes(cache.file("two-sided-6"));
  damaged[damaged.size() / 2] ^= 1;
  write_bytes(cache.file("two-sided-6"), damaged);
  check_same(built, ExactTables::bear_offs(6, workers, cache));
  CHECK(reports.lines.size() == 1);
  check_same(built, ExactTables::bear_offs(6, workers, cache));
  CHECK(reports.lines.size() == 1);
}

}  // namespace sixfold
