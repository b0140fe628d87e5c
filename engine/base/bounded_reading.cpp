#include "base/bounded_reading.h"

#include <array>
#include <ios>
#include <streambuf>

#include "base/input_error.h"

namespace sixfold {
namespace {

/// Calls `read`; failures of the system become InputErrors.
template <typename Read>
auto reading(const std::string& where, Read read) {
  try {
    return read();
  } catch (const std::ios_base::failure&) {
    throw InputError("cannot be read to its end", where, "a readable file");
  }
}

}  // namespace

std::string read_text(std::istream& in, const std::string& where) {
  std::string text;
  std::array<char, 65536> part;
  for (;;) {
    const std::streamsize count =
        reading(where, [&] { return in.rdbuf()->sgetn(part.data(), part.size()); });
    if (count <= 0) return text;
    text.append(part.data(), static_cast<std::size_t>(count));
    if (text.size() > kLongestText) {
      throw InputError("is too long", where,
                       std::to_string(kLongestText >> 20) + " megabytes at most");
    }
  }
}

bool LineReader::next() {
  constexpr auto kEnd = std::istream::traits_type::eof();
  std::streambuf& buffer = *in_.rdbuf();
  line_.clear();
  is_whole_ = true;
  bool is_begun = false;
  reading(where_, [&] {
    for (auto c = buffer.sbumpc(); c != kEnd; c = buffer.sbumpc()) {
      is_begun = true;
      if (c == '\n') break;
      if (line_.size() < kLongestLine) {
        line_ += std::istream::traits_type::to_char_type(c);
      } else {
        is_whole_ = false;
      }
    }
  });
  if (is_begun) ++number_;
  return is_begun;
}

void LineReader::require_whole() const {
  if (is_whole_) return;
  throw InputError("the line is too long", "",
                   std::to_string(kLongestLine >> 20) + " megabyte at most");
}

}  // namespace sixfold
