#include "base/clean_text.h"

#include <cstddef>
#include <cstdint>

namespace sixfold {
namespace {

constexpr std::string_view kReplacement = "\xef\xbf\xbd";

std::uint8_t byte_at(std::string_view text, std::size_t at) {
  return at < text.size() ? static_cast<std::uint8_t>(text[at]) : std::uint8_t{0};
}

/// How many bytes a character of UTF-8 has that begins here; 0 where none does.
std::size_t utf8_length(std::string_view text, std::size_t at) {
  const std::uint8_t first = byte_at(text, at);
  if (first < 0x80) return 1;
  const std::size_t length = first >= 0xf0 ? 4 : first >= 0xe0 ? 3 : 2;
  if (first < 0xc2 || first > 0xf4) return 0;
  for (std::size_t i = 1; i < length; ++i) {
    if ((byte_at(text, at + i) & 0xc0) != 0x80) return 0;
  }
  const std::uint8_t second = byte_at(text, at + 1);
  const bool is_overlong = (first == 0xe0 && second < 0xa0) || (first == 0xf0 && second < 0x90);
  const bool is_no_character = (first == 0xed && second > 0x9f) || (first == 0xf4 && second > 0x8f);
  return is_overlong || is_no_character ? 0 : length;
}

/// The control characters of ASCII, and those that Latin-1 put behind it.
bool is_control(std::string_view character) {
  const std::uint8_t first = byte_at(character, 0);
  return first < 0x20 || first == 0x7f || (first == 0xc2 && byte_at(character, 1) < 0xa0);
}

/// `kept` are control characters that stay.
std::string cleaned(std::string_view text, std::string_view kept) {
  std::string clean;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t length = utf8_length(text, at);
    const std::string_view character = text.substr(at, length > 0 ? length : 1);
    const bool is_kept = kept.find(character.front()) != std::string_view::npos;
    clean += length > 0 && (is_kept || !is_control(character)) ? character : kReplacement;
    at += character.size();
  }
  return clean;
}

}  // namespace

std::string valid_utf8(std::string_view text) {
  std::string valid;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t length = utf8_length(text, at);
    valid += length > 0 ? text.substr(at, length) : kReplacement;
    at += length > 0 ? length : 1;
  }
  return valid;
}

std::string clean_text(std::string_view text) { return cleaned(text, "\t\n"); }

std::string clean_line(std::string_view text) { return cleaned(text, "\t"); }

}  // namespace sixfold
