#include "base/clean_text.h"

#include <catch2/catch.hpp>

#include "base/markup.h"

namespace sixfold {

TEST_CASE("clean text has no control characters and no bytes that are no text") {
  CHECK(clean_text("Ana\tBéla\n日本") == "Ana\tBéla\n日本");
  CHECK(clean_text("a\x1b[2J\x07\r\x7f") == "a\uFFFD[2J\uFFFD\uFFFD\uFFFD");
  CHECK(clean_text("a\u009b2J\u00a0") == "a\uFFFD2J\u00a0");
  CHECK(clean_text(std::string("a\0b", 3)) == "a\uFFFDb");
  CHECK(clean_text("\xff!\xc3") == "\uFFFD!\uFFFD");
  CHECK(clean_line("a\nb\tc") == "a\uFFFDb\tc");
}

TEST_CASE("pages are text, whatever is put into them") {
  CHECK(escaped("<\x01\xff>") == "&lt;\uFFFD\uFFFD&gt;");
}

}  // namespace sixfold
