/// The style sheets of this folder's .css files, which the build puts into the library.
///
/// They hold no comments, since pages carry them as they stand.
#pragma once

namespace sixfold {

/// picture.css: colours for light and dark, and the classes of boards. Two blues and two browns of
/// very different lightness, told apart by all common kinds of colour vision, and an orange for
/// what has changed.
[[nodiscard]] const char* picture_style() noexcept;

/// chart.css: losses from brown to pale orange, wins from pale to deep blue; plays in six colours
/// of different lightness that common kinds of colour blindness leave apart (after Okabe M., Ito
/// K., Color universal design, 2008, a palette made for that).
[[nodiscard]] const char* chart_style() noexcept;

/// sheet.css: one column on a telephone, two beside each other where there is room, A4 in print.
[[nodiscard]] const char* sheet_style() noexcept;

}  // namespace sixfold
