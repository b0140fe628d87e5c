/// Which rolls decide, as a part of the sheet.
#pragma once

#include <cstddef>
#include <string>

#include "report/json/json_path.h"
#include "study/cube_study.h"
#include "study/decision.h"

namespace sixfold {

/// A sentence and a table of the rolls that decide between the best play and another; `at` is that
/// play's place in the lesson's JSON. Empty where no roll's part is beyond its interval. REQUIRES:
/// 0 < other < plays.
[[nodiscard]] std::string rolls_panel(const RolledDecision& rolled, std::size_t other,
                                      const JsonPath& at);
/// The same of doubling against waiting; `at` is the study's place.
[[nodiscard]] std::string rolls_panel(const CubeStudy& study, const JsonPath& at);

}  // namespace sixfold
