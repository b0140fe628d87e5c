/// What to do with the cube, as a report for a terminal of 80 columns.
#pragma once

#include <string>

#include "study/cube_study.h"

namespace sixfold {

[[nodiscard]] std::string cube_study_text(const CubeStudy& study);

}  // namespace sixfold
