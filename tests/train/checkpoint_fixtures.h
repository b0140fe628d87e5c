/// Checkpoints that somebody has changed who knows how they are hashed.
#pragma once

#include <filesystem>

#include "train/checkpoint.h"

namespace sixfold {

inline void write_changed(const std::filesystem::path& path, TensorFile file) {
  file.metadata["hash"] = checkpoint_hash(file);
  write_tensors(path, file);
}

}  // namespace sixfold
