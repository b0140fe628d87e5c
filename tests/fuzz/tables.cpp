// Files of the cache of tables. What is damaged is built anew, so that nothing is ever refused.
#include <vector>

#include "exact/table_cache.h"
#include "fuzz/fuzz.h"

using namespace sixfold;

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const fuzz::InputFile kFile("few.table");
  kFile.write(fuzz::text_of(data, size));
  TableCache cache(kFile.path().parent_path());
  std::vector<double> first;
  std::vector<std::uint16_t> second;
  static_cast<void>(cache.load("few", {1, 3}, [] { return true; }, first, second));
  return 0;
}
