#include "record/texts.h"

#include <catch2/catch.hpp>

namespace sixfold {
namespace {

TEST_CASE("Only what is UTF-8 stays as it is") {
  for (const char* good : {"abc", "\xc3\xb6", "\xe2\x82\xac", "\xf0\x9f\x8e\xb2"}) {
    CHECK(valid_utf8(good) == good);
  }
  const std::string no = "\xef\xbf\xbd";
  CHECK(valid_utf8("a\xff") == "a" + no);
  CHECK(valid_utf8("\xc3") == no);
  CHECK(valid_utf8("\xc0\x80") == no + no);           // Overlong.
  CHECK(valid_utf8("\xed\xa0\x80") == no + no + no);  // Half of a pair.
  CHECK(valid_utf8("\xf4\x90\x80\x80") == no + no + no + no);
  CHECK(valid_utf8("\xe2\x82z") == no + no + "z");
  for (int byte = 0; byte < 256; ++byte) {
    const std::string latin(1, static_cast<char>(byte));
    CHECK(valid_utf8(utf8_of_latin1(latin)) == utf8_of_latin1(latin));
  }
}

TEST_CASE("Lines are cleaned") {
  CHECK(one_line(" a\tb\r\nc\x01 ") == "a b  c");
  CHECK(clean_lines("\n a \r\n\r\nb\rc\t\n\n") == " a\n\nb\nc");
  CHECK(clean_lines("").empty());
}

TEST_CASE("Whole numbers are nothing else") {
  CHECK(whole_number(" 12 ") == 12);
  CHECK(whole_number("-3") == -3);
  for (const char* bad : {"", " ", "x", "1x", "1 2", "99999999999"}) CHECK_FALSE(whole_number(bad));
}

}  // namespace
}  // namespace sixfold
