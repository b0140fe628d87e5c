/// The style sheet of a lesson's page, beyond that of its pictures.
#pragma once

namespace sixfold {

/// CSS: one column on a telephone, two beside each other where there is room, A4 in print.
[[nodiscard]] const char* sheet_style() noexcept;

}  // namespace sixfold
