/// Files of positions at which games begin.
#pragma once

#include <string>
#include <vector>

#include "rules/position.h"

namespace sixfold::tools {

/// One position a line, as people write it or as `sample` does (an object of JSON); empty lines and
/// those that begin with # are passed over. Throws InputError for a file that can't be read or
/// holds no position, and for lines that are none or where the game is over.
[[nodiscard]] std::vector<Position> read_starts(const std::string& file, int checkers);

}  // namespace sixfold::tools
