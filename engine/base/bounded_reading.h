/// Reads texts up to a size, so that no input takes all memory.
///
/// A size is no promise: a file may be sparse, a pipe without an end. One object belongs to one
/// thread at a time.
#pragma once

#include <cstddef>
#include <istream>
#include <string>
#include <utility>

namespace sixfold {

inline constexpr std::size_t kLongestLine = std::size_t{1} << 20;
inline constexpr std::size_t kLongestText = std::size_t{16} << 20;

/// What is left in a stream. Throws InputError, which names it by `where`, for a text longer than
/// kLongestText and where reading fails.
[[nodiscard]] std::string read_text(std::istream& in, const std::string& where);

/// Takes a stream's lines one by one; `where` names it in complaints.
class LineReader {
 public:
  LineReader(std::istream& in, std::string where) : in_(in), where_(std::move(where)) {}

  /// The next line, or false where there is none. Throws InputError where reading fails.
  bool next();
  /// Without its end. Of one longer than kLongestLine the beginning; the rest was passed over.
  [[nodiscard]] const std::string& line() const noexcept { return line_; }
  /// Throws InputError where the line was longer than kLongestLine.
  void require_whole() const;
  /// Of the line, from 1.
  [[nodiscard]] int number() const noexcept { return number_; }

 private:
  std::istream& in_;
  std::string where_;
  std::string line_;
  bool is_whole_ = true;
  int number_ = 0;
};

}  // namespace sixfold
