/// Where files are when nobody names them.
#pragma once

#include <filesystem>
#include <string>

#include "exact/table_cache.h"

namespace sixfold::tools {

/// The net that comes with the tool.
[[nodiscard]] std::filesystem::path shipped_net();
/// `directory`, or the user's usual place of caches when empty.
[[nodiscard]] std::filesystem::path cache_directory(const std::string& directory);
/// A line on standard error about what is out of order but does no harm.
void note(const std::string& line);

}  // namespace sixfold::tools
