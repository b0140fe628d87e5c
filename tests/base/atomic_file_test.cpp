#include "base/atomic_file.h"

#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <csignal>
#include <string>

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

TEST_CASE("an atomic write passes by what a killed process left") {
  const Room room;
  const std::string left = "f.partial-" + std::to_string(::getpid()) + "-0";
  write_bytes(room / left, "half");
  write_file_atomically(room / "f", "whole");
  CHECK(read_bytes(room / "f") == "whole");
  CHECK(read_bytes(room / left) == "half");
  CHECK(room.count() == 2);
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
      {std::string(255, 'n'), "cannot be written: "},
  }));
  const fs::path path = room / name;
  require_refusal([&] { write_file_atomically(path, "text"); }, path, words);
  require_refusal([&] { save_network(path, sample_network()); }, path, words);
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
