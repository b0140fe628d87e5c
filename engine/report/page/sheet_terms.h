/// The terms that a lesson's sheet uses, and what they mean.
#pragma once

#include <string>

namespace sixfold {

/// Those that `page`, the markup of the sheet, uses; folded.
[[nodiscard]] std::string terms_box(const std::string& page);

}  // namespace sixfold
