#include "base/hash.h"

#include <catch2/catch.hpp>
#include <string>

namespace sixfold {

// The published values of 64-bit FNV-1a for these texts, as they are commonly quoted; they were
// written down from memory.
TEST_CASE("texts have their published hashes") {
  CHECK(hash_of_bytes("") == 0xcbf29ce484222325);
  CHECK(hash_of_bytes("a") == 0xaf63dc4c8601ec8c);
  CHECK(hash_of_bytes("foobar") == 0x85944171f73967e8);
}

TEST_CASE("a text hashed in parts has the hash of the whole") {
  CHECK(hash_of_bytes("bar", hash_of_bytes("foo")) == hash_of_bytes("foobar"));
  CHECK(hash_of_bytes("\xff") == hash_step(kHashOfNothing, 0xff));
}

// Bytes 1 to 12 from the definition, by Python's integers: two words, the second filled up.
TEST_CASE("hashes of words stay what tables on disks carry") {
  std::string bytes;
  for (char byte = 1; byte <= 12; ++byte) bytes += byte;
  CHECK(hash_of_words(bytes) == 0xe2cf97ed584a556a);
  CHECK(hash_of_words("") == 0xcbf29ce484222325);
}

TEST_CASE("every byte counts in a hash of words, and so do zeros at the end") {
  const std::string bytes(21, 'x');
  for (std::size_t i = 0; i < bytes.size(); ++i) {
    std::string other = bytes;
    other[i] = 'y';
    CHECK(hash_of_words(other) != hash_of_words(bytes));
  }
  CHECK(hash_of_words(std::string(3, '\0')) != hash_of_words(std::string(4, '\0')));
}

}  // namespace sixfold
