/// What was found out about a decision, in a line: what is right, and how sure that is.
///
/// Pure functions; safe to use from any thread.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "study/lesson.h"

namespace sixfold {

struct Finding {
  std::string about;  ///< "64 at money", "Double at dmp"
  std::string words;
  bool is_open = false;
  std::optional<double> best_probability{};  ///< Of the play that came out best, where it is open.
};

[[nodiscard]] Finding finding_of(const RolledDecision& rolled);
[[nodiscard]] Finding finding_of(const CubeStudy& study);
/// Doubles first, then the cells.
[[nodiscard]] std::vector<Finding> findings_of(const Lesson& lesson);

/// What settled means and, where there are such, open.
[[nodiscard]] std::string sureness_legend(const std::vector<Finding>& findings);

}  // namespace sixfold
