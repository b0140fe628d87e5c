/// Writes a file whole or not at all.
///
/// Safe to call from any thread, also for one target at once: the last to finish stays.
#pragma once

#include <filesystem>
#include <string_view>

namespace sixfold {

/// Puts `bytes` at `target`: into a temporary file beside it, forced to the disk, then renamed. A
/// reader sees the old contents or the new ones, never a part. Replaces regular files only, so
/// that a device or a pipe is not lost; a symbolic link is replaced by the file. Who may read and
/// write the file stays as it was. Throws InputError when the target can't be written; then what
/// was there before still is, and nothing else. What a killed process left beside the target, under
/// its name and ".sixfold-partial-N", goes with the next call for it.
void write_file_atomically(const std::filesystem::path& target, std::string_view bytes);

/// Throws InputError where that would not be possible now, before anybody works for it.
void require_writable(const std::filesystem::path& target);

}  // namespace sixfold
