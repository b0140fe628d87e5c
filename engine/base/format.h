/// Formatting by libfmt, for reports: the library's one use of it.
///
/// Patterns are checked against their values when the code is compiled. Pure functions; safe to use
/// from any thread.
#pragma once

#include <fmt/format.h>

#include <string>
#include <utility>

namespace sixfold {

/// A literal such as "{:.3f} of {}" for values of these types.
template <typename... Values>
using FormatPattern = fmt::format_string<Values...>;

template <typename... Values>
[[nodiscard]] std::string format(FormatPattern<Values...> pattern, Values&&... values) {
  return fmt::format(pattern, std::forward<Values>(values)...);
}

}  // namespace sixfold
