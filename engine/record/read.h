/// Recorded matches in whichever form they are: record/sgf.h or record/plain.h. Pure; thread-safe.
#pragma once

#include <string_view>

#include "record/match.h"

namespace sixfold {

/// SGF where the first character that is no blank (nor a byte order mark) is '(', else plain text.
/// Never throws for what the text holds: see ReadMatch.
[[nodiscard]] ReadMatch read_record(std::string_view text);

}  // namespace sixfold
