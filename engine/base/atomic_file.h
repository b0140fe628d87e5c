/// Writes a file whole or not at all.
///
/// Safe to call from any thread, also for one target at once: the last to finish stays.
#pragma once

#include <filesystem>
#include <string_view>

namespace sixfold {

/// Puts `bytes` at `target`: into a temporary file beside it, forced to the disk, then renamed. A
/// reader sees the old contents or the new ones, never a part. Replaces regular files only, so
/// that a device or a pipe is not lost; a symbolic link is replaced by the file. Throws InputError
/// when the target can't be written; then what was there before still is, and nothing else.
void write_file_atomically(const std::filesystem::path& target, std::string_view bytes);

}  // namespace sixfold
