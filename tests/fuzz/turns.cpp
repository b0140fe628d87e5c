// Turns at a queue as bytes, as ranks send them to each other.
#include "fuzz/fuzz.h"
#include "queue/turn_bytes.h"

using namespace sixfold;

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  fuzz::may_refuse([&] {
    ByteReader bytes(fuzz::text_of(data, size), "turn");
    static_cast<void>(take_turn_task(bytes));
  });
  fuzz::may_refuse([&] {
    ByteReader bytes(fuzz::text_of(data, size), "turn");
    static_cast<void>(take_turn(bytes));
  });
  return 0;
}
