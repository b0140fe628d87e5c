// Checkpoints of trainings.
#include "fuzz/fuzz.h"
#include "train/trainer.h"

using namespace sixfold;

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const fuzz::InputFile kFile("net.checkpoint");
  kFile.write(fuzz::text_of(data, size));
  fuzz::may_refuse([&] { static_cast<void>(Trainer::resumed(kFile.path(), 1)); });
  return 0;
}
