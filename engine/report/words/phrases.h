/// Parts that sentences have in common.
///
/// Pure functions; safe to use from any thread.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include "base/format.h"
#include "rollout/statistics.h"

namespace sixfold {

/// Equities are told to a thousandth, or finer where they are known so well, or where a thousandth
/// would hide on which side of its interval zero is.
[[nodiscard]] inline int equity_decimals(const Estimate& equity) {
  const auto thousandths = [](double value) { return std::round(1000.0 * std::abs(value)); };
  const bool is_known = equity.half_width > 0.0;
  const bool is_fine = equity.half_width < 0.002;
  const bool would_hide = thousandths(equity.mean) == thousandths(equity.half_width);
  return is_known && (is_fine || would_hide) ? 4 : 3;
}

/// "0.050 ± 0.012", without a sign.
[[nodiscard]] inline std::string interval_words(const Estimate& estimate) {
  const int decimals = equity_decimals(estimate);
  return format("{:.{}f}", std::abs(estimate.mean), decimals) +
         format(" ± {:.{}f}", estimate.half_width, decimals);
}

/// Columns that a text takes: its code points.
[[nodiscard]] inline std::size_t columns_of(const std::string& text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) {
    return (static_cast<unsigned char>(c) & 0xc0u) != 0x80u;
  }));
}

/// The text, or its beginning where it takes more columns.
[[nodiscard]] inline std::string shortened(const std::string& text, std::size_t columns) {
  std::size_t end = 0;
  for (std::size_t seen = 0; end < text.size(); ++end) {
    if ((static_cast<unsigned char>(text[end]) & 0xc0u) != 0x80u && ++seen > columns) break;
  }
  return text.substr(0, end);
}

/// A number with its sign; what rounds to zero is "+0.0000", never "-0.0000".
[[nodiscard]] inline std::string signed_number(double value, int decimals) {
  const double scale = std::pow(10.0, decimals);
  return format("{:+.{}f}", std::round(value * scale) / scale + 0.0, decimals);
}

/// "1,234,567"
[[nodiscard]] inline std::string count_words(std::uint64_t count) {
  std::string text = std::to_string(count);
  for (std::size_t at = text.size(); at > 3;) text.insert(at -= 3, ",");
  return text;
}

/// "7.2 hours", "35 minutes", "1 second"
[[nodiscard]] inline std::string duration_words(double seconds) {
  constexpr double kMinute = 60.0;
  constexpr double kHour = 3600.0;
  if (seconds >= 2.0 * kHour) return format("{:.1f} hours", seconds / kHour);
  if (seconds >= 2.0 * kMinute) return format("{:.0f} minutes", seconds / kMinute);
  const std::string number = format("{:.0f}", seconds);
  return number + (number == "1" ? " second" : " seconds");
}

/// "a, b and c".
[[nodiscard]] inline std::string joined(const std::vector<std::string>& parts) {
  std::string text;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    text += (i == 0 ? "" : i + 1 == parts.size() ? " and " : ", ") + parts[i];
  }
  return text;
}

}  // namespace sixfold
