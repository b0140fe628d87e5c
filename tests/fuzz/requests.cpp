// Lines of requests.
#include "fuzz/fuzz.h"
#include "report/json/request.h"

using namespace sixfold;

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  std::string id = "null";
  fuzz::may_refuse(
      [&] { static_cast<void>(parse_request(std::string(fuzz::text_of(data, size)), id)); });
  fuzz::require(!id.empty());
  return 0;
}
