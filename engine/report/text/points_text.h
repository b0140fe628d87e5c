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

}  // namespace sixfold
