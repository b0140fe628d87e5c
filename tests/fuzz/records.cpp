// Recorded matches in both forms: what was understood is the same when it is written and read.
#include "fuzz/fuzz.h"
#include "record/plain.h"
#include "record/read.h"
#include "record/sgf.h"

using namespace sixfold;

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const ReadMatch read = read_record(fuzz::text_of(data, size));
  if (!read.complaints.empty()) return 0;
  const ReadMatch by_sgf = read_record(sgf_text(read.match));
  fuzz::require(by_sgf.match.games.size() == read.match.games.size());
  return 0;
}
