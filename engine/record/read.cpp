#include "record/read.h"

#include "base/text_reader.h"
#include "record/plain.h"
#include "record/sgf.h"
#include "record/texts.h"

namespace sixfold {

ReadMatch read_record(std::string_view text) {
  const std::string_view inside = trimmed(without_mark(text));
  return !inside.empty() && inside.front() == '(' ? read_sgf(text) : read_plain(text);
}

}  // namespace sixfold
