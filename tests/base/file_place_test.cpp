#include "base/file_place.h"

#include <catch2/catch.hpp>

#include "base/process_lock.h"
#include "evaluator/file_fixtures.h"

namespace sixfold {

TEST_CASE("names lead to one file by links, folders on the way, and before it is there") {
  const Room room;
  fs::create_directory(room / "folder");
  write_bytes(room / "f", "text");
  write_bytes(room / "other", "text");
  fs::create_symlink(room / "f", room / "symbolic");
  fs::create_hard_link(room / "f", room / "hard");
  fs::create_directory_symlink(room / "folder", room / "way");
  fs::create_symlink(room / "later", room / "dangling");
  const fs::path before = fs::current_path();
  fs::current_path(room / "");
  CHECK(is_same_file("f", room / "f"));
  CHECK(is_same_file("f", "./folder/../f"));
  CHECK(is_same_file("f", "symbolic"));
  CHECK(is_same_file("f", "hard"));
  CHECK(is_same_file("new", "./new"));
  CHECK(is_same_file("folder/new", "way/new"));
  CHECK_FALSE(is_same_file("f", "other"));
  CHECK_FALSE(is_same_file("f", "new"));
  CHECK_FALSE(is_same_file("new", "folder/new"));
  CHECK_FALSE(is_same_file("", ""));
  CHECK_FALSE(is_same_file("", "f"));
  fs::current_path(before);
}

TEST_CASE("a process lock keeps others out, and goes with its holder") {
  const Room room;
  const InputError busy("is taken", "f", "");
  {
    const ProcessLock lock(room / "lock", busy);
    CHECK_THROWS_WITH(ProcessLock(room / "lock", busy), Catch::Contains("is taken"));
  }
  CHECK(room.count() == 0);
  write_bytes(room / "lock", "left by a killed process");
  const ProcessLock lock(room / "lock", busy);
  CHECK_THROWS_WITH(ProcessLock(room / "missing/lock", busy), Catch::Contains("can't be written"));
}

}  // namespace sixfold
