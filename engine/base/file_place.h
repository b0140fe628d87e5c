/// Which file a name leads to.
///
/// Plain functions of their arguments and the file system; safe to use from any thread.
#pragma once

#include <filesystem>

namespace sixfold {

/// Whether two names lead to one file: to the same one that is there, by whatever links, or, where
/// one of them is not there yet, to the same place. An empty name leads nowhere.
[[nodiscard]] bool is_same_file(const std::filesystem::path& a, const std::filesystem::path& b);

/// Whether an open file still has that name. It has not where somebody has removed it meanwhile.
[[nodiscard]] bool is_file_at(int descriptor, const std::filesystem::path& name);

}  // namespace sixfold
