#include "base/atomic_file.h"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <csignal>
#include <string>

#include "base/workers.h"
#include "evaluator/file_fixtures.h"

namespace sixfold {

TEST_CASE("an atomic write replaces a file and leaves nothing beside it") {
  const Room room;
  const std::string large(3'000'000, 'x');
  write_file_atomically(room / "f", large);
  CHECK(read_bytes(room / "f") == large);
  write_file_atomically(room / "f", "short");
  CHECK(read_bytes(room / "f") == "short");
  write_file_atomically(room / "f", "");
  CHECK(read_bytes(room / "f").empty());
  CHECK(room.count() == 1);
}

TEST_CASE("an atomic write removes what killed processes left, and nothing of a living writer's") {
  const Room room;
  write_bytes(room / "f.sixfold-partial-0", "half");
  write_bytes(room / "f.sixfold-partial-1", "of a living writer");
  write_bytes(room / "f.sixfold-partial-2", "half");
  write_bytes(room / "g.sixfold-partial-0", "another file's");
  const int living = ::open((room / "f.sixfold-partial-1").c_str(), O_RDONLY);
  REQUIRE(::flock(living, LOCK_EX | LOCK_NB) == 0);
  write_file_atomically(room / "f", "whole");
  CHECK(read_bytes(room / "f") == "whole");
  CHECK(read_bytes(room / "f.sixfold-partial-1") == "of a living writer");
  CHECK(fs::exists(room / "g.sixfold-partial-0"));
  ::close(living);
  write_file_atomically(room / "f", "again");
  CHECK(room.count() == 2);
}

TEST_CASE("an atomic write that is killed half-way leaves the old file, and the next cleans up") {
  const Room room;
  write_file_atomically(room / "f", "old");
  const pid_t child = ::fork();
  REQUIRE(child >= 0);
  if (child == 0) {
    // The kernel's own signal at a limit of size kills it in the midst of writing.
    const rlimit limit{100'000, 100'000};
    ::setrlimit(RLIMIT_FSIZE, &limit);
    ::signal(SIGXFSZ, SIG_DFL);
    write_file_atomically(room / "f", std::string(200'000, 'x'));
    ::_exit(0);
  }
  int status = 0;
  REQUIRE(::waitpid(child, &status, 0) == child);
  REQUIRE(WIFSIGNALED(status));
  CHECK(read_bytes(room / "f") == "old");
  CHECK(room.count() == 2);
  write_file_atomically(room / "f", "new");
  CHECK(read_bytes(room / "f") == "new");
  CHECK(room.count() == 1);
}

TEST_CASE("writers of one file at once leave one's contents whole, and nothing else") {
  const Room room;
  Workers workers(8);
  workers.for_each(64, [&](std::size_t i) {
    write_file_atomically(room / "f", std::string(50'000, static_cast<char>('a' + i % 26)));
  });
  const std::string bytes = read_bytes(room / "f");
  CHECK(bytes.size() == 50'000);
  CHECK(bytes.find_first_not_of(bytes.front()) == std::string::npos);
  CHECK(room.count() == 1);
}

TEST_CASE("who may read a file stays as it was when it is written over") {
  const Room room;
  write_bytes(room / "f", "old");
  for (const mode_t mode : {0600u, 0640u, 0644u, 0444u}) {
    REQUIRE(::chmod((room / "f").c_str(), mode) == 0);
    write_file_atomically(room / "f", "new");
    struct stat now {};
    REQUIRE(::stat((room / "f").c_str(), &now) == 0);
    CHECK((now.st_mode & 0777) == mode);
  }
}

TEST_CASE("the longest name that a file may have can be written") {
  const Room room;
  write_file_atomically(room / std::string(255, 'n'), "text");
  CHECK(read_bytes(room / std::string(255, 'n')) == "text");
  CHECK(room.count() == 1);
}

TEST_CASE("an atomic write takes a name without a directory") {
  const Room room;
  const fs::path before = fs::current_path();
  fs::current_path(room / "");
  write_file_atomically("f", "text");
  fs::current_path(before);
  CHECK(read_bytes(room / "f") == "text");
  CHECK(room.count() == 1);
}

TEST_CASE("an atomic write refuses directories, devices and places that are missing") {
  const Room room;
  write_bytes(room / "file", "kept");
  fs::create_directory(room / "directory");
  fs::create_symlink("/dev/null", room / "device");
  REQUIRE(::mkfifo((room / "pipe").c_str(), 0600) == 0);
  const auto [name, words] = GENERATE(table<std::string, std::string>({
      {"directory", "names a directory"},
      {"directory/", "names a directory"},
      {"directory/.", "names a directory"},
      {"new/", "names a directory"},
      {"device", "a device, a pipe"},
      {"pipe", "a device, a pipe"},
      {"missing/f", "does not exist"},
      {"missing/deeper/f", "does not exist"},
      {"file/f", "is not a directory"},
      {std::string(256, 'n'), "cannot be written: "},
  }));
  const fs::path path = room / name;
  require_refusal([&] { write_file_atomically(path, "text"); }, path, words);
  require_refusal([&] { save_network(path, sample_network()); }, path, words);
  require_refusal([&] { require_writable(path); }, path, words);
  CHECK(room.count() == 4);
  CHECK(fs::is_empty(room / "directory"));
  CHECK(read_bytes(room / "file") == "kept");
}

TEST_CASE("an atomic write refuses an empty name") {
  require_refusal([] { write_file_atomically("", "text"); }, "", "names a directory");
}

TEST_CASE("an atomic write refuses a directory that takes no files") {
  if (!fs::is_directory("/proc/self")) return;
  const fs::path path = "/proc/self/sixfold";
  require_refusal([&] { write_file_atomically(path, "text"); }, path, "cannot be written");
  require_refusal([&] { require_writable(path); }, path, "cannot be written");
}

TEST_CASE("asking whether a file can be written leaves all as it is") {
  const Room room;
  write_bytes(room / "f", "kept");
  require_writable(room / "f");
  require_writable(room / "new");
  CHECK(read_bytes(room / "f") == "kept");
  CHECK(room.count() == 1);
}

TEST_CASE("a write that fails half-way keeps the old file and leaves no other") {
  const Room room;
  write_file_atomically(room / "f", "old");
  // A limit on the size of files stands in for a full disk: the same call fails at the same place.
  rlimit before{};
  REQUIRE(::getrlimit(RLIMIT_FSIZE, &before) == 0);
  const auto handler = std::signal(SIGXFSZ, SIG_IGN);
  rlimit limit = before;
  limit.rlim_cur = 100'000;
  REQUIRE(::setrlimit(RLIMIT_FSIZE, &limit) == 0);
  const auto text = refusal([&] { write_file_atomically(room / "f", std::string(200'000, 'x')); });
  const auto network = refusal([&] { save_network(room / "g", sample_network()); });
  ::setrlimit(RLIMIT_FSIZE, &before);
  std::signal(SIGXFSZ, handler);
  REQUIRE(text);
  CHECK_THAT(text->what(), Catch::Contains("cannot be written") && Catch::Contains("with room"));
  REQUIRE(network);
  CHECK(network->where() == (room / "g").string());
  CHECK(read_bytes(room / "f") == "old");
  CHECK(room.count() == 1);
}

}  // namespace sixfold
