/// Walking over a text with the place for an error at hand. Used by the notation; nothing outside
/// rules/ needs it.
#pragma once

#include <algorithm>
#include <charconv>
#include <optional>
#include <string>
#include <string_view>

#include "base/input_error.h"

namespace sixfold {

inline constexpr std::string_view kBlank = " \t\r\n";
/// What may part the entries of a list.
inline constexpr std::string_view kBetween = " ,\t\r\n";

[[nodiscard]] inline std::string_view trimmed(std::string_view text) {
  const std::size_t first = text.find_first_not_of(kBlank);
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(kBlank) - first + 1);
}

/// Whether two texts are the same but for upper and lower case, which people mix.
[[nodiscard]] inline bool is_same_word(std::string_view a, std::string_view b) {
  const auto lower = [](char c) { return 'A' <= c && c <= 'Z' ? static_cast<char>(c + 32) : c; };
  return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                    [&](char x, char y) { return lower(x) == lower(y); });
}

/// `what` names the text in complaints. Holds a view: the text must outlive it.
class TextReader {
 public:
  TextReader(std::string_view text, std::string what) : text_(text), what_(std::move(what)) {}

  void skip_blanks() { skip(kBlank); }
  /// Whatever stands here of some characters; false where none does.
  bool skip(std::string_view characters) {
    const std::size_t before = at_;
    while (!at_end() && characters.find(text_[at_]) != std::string_view::npos) ++at_;
    return at_ > before;
  }
  [[nodiscard]] bool at_end() const { return at_ >= text_.size(); }
  [[nodiscard]] char peek() const { return at_end() ? '\0' : text_[at_]; }
  bool accept(char c) { return accept(std::string_view(&c, 1)); }
  /// In upper or lower case.
  bool accept(std::string_view word) {
    if (!is_same_word(text_.substr(std::min(at_, text_.size()), word.size()), word)) return false;
    at_ += word.size();
    return true;
  }
  /// A whole number, if one stands here; overlong ones read as 9999.
  std::optional<int> number() {
    int value = 0;
    const char* begin = text_.data() + at_;
    const char* end = text_.data() + text_.size();
    if (at_end() || peek() < '0' || peek() > '9') return std::nullopt;
    number_at_ = at_;
    const auto [next, error] = std::from_chars(begin, end, value);
    at_ += static_cast<std::size_t>(next - begin);
    return error == std::errc() ? value : 9999;
  }
  [[noreturn]] void fail(const std::string& complaint, const std::string& expected) const {
    fail_at(at_, complaint, expected);
  }
  /// The complaint is about the number read last.
  [[noreturn]] void fail_at_number(const std::string& complaint,
                                   const std::string& expected) const {
    fail_at(number_at_, complaint, expected);
  }
  /// What stands here, for a complaint.
  [[nodiscard]] std::string found() const {
    if (at_end()) return "the text ends";
    const std::size_t end = std::min(text_.find_first_of(kBlank, at_), at_ + 12);
    return "'" + std::string(text_.substr(at_, end - at_)) + "' is not understood";
  }

 private:
  [[noreturn]] void fail_at(std::size_t at, const std::string& complaint,
                            const std::string& expected) const {
    throw InputError(complaint, what_ + ", character " + std::to_string(at + 1), expected);
  }

  std::string_view text_;
  std::string what_;
  std::size_t at_ = 0;
  std::size_t number_at_ = 0;
};

}  // namespace sixfold
