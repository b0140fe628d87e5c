#include "base/bounded_reading.h"

#include <catch2/catch.hpp>
#include <fstream>
#include <sstream>

#include "evaluator/file_fixtures.h"

namespace sixfold {

TEST_CASE("lines come as they stand, with their numbers, the last with an end or without") {
  for (const char* const ending : {"", "\n"}) {
    std::istringstream in(std::string("first\n\nthird") + ending);
    LineReader lines(in, "it");
    std::vector<std::string> read;
    while (lines.next()) {
      lines.require_whole();
      read.push_back(lines.line());
      CHECK(lines.number() == static_cast<int>(read.size()));
    }
    CHECK(read == std::vector<std::string>{"first", "", "third"});
  }
}

TEST_CASE("a line that is too long is refused, takes no more memory, and loses none behind it") {
  std::istringstream in(std::string(kLongestLine, 'a') + "\n" + std::string(5'000'000, 'b') +
                        "\nthird\n");
  LineReader lines(in, "it");
  REQUIRE(lines.next());
  lines.require_whole();
  CHECK(lines.line().size() == kLongestLine);
  REQUIRE(lines.next());
  CHECK_THROWS_WITH(lines.require_whole(), Catch::Contains("too long; expected 1 megabyte"));
  CHECK(lines.line().size() == kLongestLine);
  REQUIRE(lines.next());
  lines.require_whole();
  CHECK(lines.line() == "third");
  CHECK_FALSE(lines.next());
}

TEST_CASE("a text is read whole, and one without an end is refused") {
  std::istringstream in("two\nlines");
  CHECK(read_text(in, "it") == "two\nlines");
  std::ifstream endless("/dev/zero", std::ios::binary);
  CHECK_THROWS_WITH(read_text(endless, "it"), Catch::Contains("it: is too long"));
}

TEST_CASE("what cannot be read to its end is said, not taken for the end") {
  // A process's own memory is a file whose first bytes nobody may read.
  std::ifstream unreadable("/proc/self/mem", std::ios::binary);
  REQUIRE(unreadable);
  LineReader lines(unreadable, "it");
  CHECK_THROWS_WITH(lines.next(), Catch::Contains("cannot be read to its end"));
  CHECK_THROWS_WITH(read_text(unreadable, "it"), Catch::Contains("cannot be read to its end"));
}

}  // namespace sixfold
