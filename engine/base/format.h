/// printf into a string, for reports.
#pragma once

#include <algorithm>
#include <array>
#include <cstdio>
#include <string>

namespace sixfold {

/// Up to 511 bytes. REQUIRES: `pattern` is a literal that fits the values.
template <typename... Values>
[[nodiscard]] std::string format(const char* pattern, Values... values) {
  std::array<char, 512> buffer;
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wformat-nonliteral"
#pragma GCC diagnostic ignored "-Wformat-security"
  const int length = std::snprintf(buffer.data(), buffer.size(), pattern, values...);
#pragma GCC diagnostic pop
  return {buffer.data(), std::min(static_cast<std::size_t>(length), buffer.size() - 1)};
}

}  // namespace sixfold
