#include "record/texts.h"

#include <charconv>
#include <cstdint>

#include "base/text_reader.h"

namespace sixfold {
namespace {

bool is_control(char c) { return (0 <= c && c < 32) || c == 127; }

}  // namespace

std::string_view without_mark(std::string_view text) noexcept {
  constexpr std::string_view kMark = "\xef\xbb\xbf";
  return text.substr(0, kMark.size()) == kMark ? text.substr(kMark.size()) : text;
}

std::string utf8_of_latin1(std::string_view text) {
  std::string utf8;
  for (const char c : text) {
    const auto byte = static_cast<std::uint8_t>(c);
    if (byte < 0x80) {
      utf8 += c;
    } else {
      utf8 += static_cast<char>(0xc0 | byte >> 6);
      utf8 += static_cast<char>(0x80 | (byte & 0x3f));
    }
  }
  return utf8;
}

std::string one_line(std::string_view text) {
  std::string line(text);
  for (char& c : line) {
    if (is_control(c)) c = ' ';
  }
  return std::string(trimmed(line));
}

std::string clean_lines(std::string_view text) {
  std::string clean;
  for (std::size_t at = 0; at < text.size(); ++at) {
    const char c = text[at];
    if (c == '\n' || c == '\r') {
      if (c == '\r' && at + 1 < text.size() && text[at + 1] == '\n') ++at;
      clean.erase(clean.find_last_not_of(" \t") + 1);
      if (!clean.empty()) clean += '\n';
    } else {
      clean += is_control(c) && c != '\t' ? ' ' : c;
    }
  }
  clean.erase(clean.find_last_not_of(kBlank) + 1);
  return clean;
}

std::optional<int> whole_number(std::string_view text) {
  text = trimmed(text);
  int value = 0;
  const char* end = text.data() + text.size();
  const auto [next, error] = std::from_chars(text.data(), end, value);
  if (text.empty() || next != end || error != std::errc()) return std::nullopt;
  return value;
}

Halves split_at(std::string_view text, char c) {
  const std::size_t at = text.find(c);
  if (at == std::string_view::npos) return {text, std::nullopt};
  return {text.substr(0, at), text.substr(at + 1)};
}

}  // namespace sixfold
