// Files of queues: read, listed and checked.
#include "fuzz/fuzz.h"
#include "queue/queue_file.h"

using namespace sixfold;

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const fuzz::InputFile kFile("night.db");
  kFile.write(fuzz::text_of(data, size));
  fuzz::may_refuse([&] {
    const QueueFile file(kFile.path(), Database::Access::kRead);
    file.check();
    static_cast<void>(file.entries());
    static_cast<void>(file.list());
    static_cast<void>(file.parts());
    static_cast<void>(file.run_by());
  });
  return 0;
}
