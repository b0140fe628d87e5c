/// Tables of how games end with the cube.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "rollout/rollout.h"

namespace sixfold {

/// The distribution of points of up to two plays or actions, side by side, with their names. At
/// most 80 columns.
[[nodiscard]] std::string points_text(
    const std::vector<std::pair<std::string, const RolledCube*>>& columns);

/// In words: how often the cube was turned and passed.
[[nodiscard]] std::string cube_use_text(const RolledCube& cube);

}  // namespace sixfold
