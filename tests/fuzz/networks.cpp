// Network files: tensors, and networks made of them.
#include "evaluator/network_file.h"
#include "evaluator/safetensors.h"
#include "fuzz/fuzz.h"

using namespace sixfold;

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const fuzz::InputFile kFile("net.safetensors");
  kFile.write(fuzz::text_of(data, size));
  fuzz::may_refuse([&] { static_cast<void>(read_tensors(kFile.path())); });
  fuzz::may_refuse([&] { static_cast<void>(load_network(kFile.path())); });
  return 0;
}
