/// Plain values as bytes and back, for what is kept between two runs of a program, or sent to
/// another.
///
/// Numbers stand as they do in memory (little-endian, IEEE 754), one after the other, lists behind
/// their lengths. Reading checks every length before anything is taken. Not thread-safe.
#pragma once

#include <cstddef>
#include <cstdint>
#include <cstring>
#include <string>
#include <string_view>
#include <type_traits>
#include <utility>
#include <vector>

#include "base/input_error.h"

namespace sixfold {

class ByteWriter {
 public:
  template <typename Value>
  void add(const Value& value) {
    static_assert(std::is_trivially_copyable_v<Value>);
    bytes_.append(reinterpret_cast<const char*>(&value), sizeof value);
  }
  template <typename Value>
  void add_list(const std::vector<Value>& values) {
    static_assert(std::is_trivially_copyable_v<Value>);
    add(std::uint64_t{values.size()});
    bytes_.append(reinterpret_cast<const char*>(values.data()), values.size() * sizeof(Value));
  }
  void add_text(std::string_view text) {
    add(std::uint64_t{text.size()});
    bytes_.append(text);
  }
  [[nodiscard]] const std::string& bytes() const noexcept { return bytes_; }

 private:
  std::string bytes_;
};

/// Holds a view: the bytes must outlive it.
class ByteReader {
 public:
  /// `where` names the bytes in complaints.
  ByteReader(std::string_view bytes, std::string where) : rest_(bytes), where_(std::move(where)) {}

  /// Throws InputError where the bytes end before the value, here and below.
  template <typename Value>
  [[nodiscard]] Value take() {
    static_assert(std::is_trivially_copyable_v<Value>);
    Value value;
    std::memcpy(&value, take_bytes(sizeof value).data(), sizeof value);
    return value;
  }
  template <typename Value>
  [[nodiscard]] std::vector<Value> take_list() {
    static_assert(std::is_trivially_copyable_v<Value>);
    const auto count = take<std::uint64_t>();
    if (count > rest_.size() / sizeof(Value)) fail("ends within a list");
    std::vector<Value> values(count);
    const std::string_view bytes = take_bytes(count * sizeof(Value));
    if (count > 0) std::memcpy(values.data(), bytes.data(), bytes.size());
    return values;
  }
  [[nodiscard]] std::string take_text() { return std::string(take_bytes(take<std::uint64_t>())); }
  [[nodiscard]] bool take_flag() { return take<std::uint8_t>() != 0; }
  [[nodiscard]] bool at_end() const noexcept { return rest_.empty(); }
  [[noreturn]] void fail(const std::string& complaint) const {
    throw InputError(complaint, where_, "what was saved, whole and unchanged");
  }

 private:
  std::string_view take_bytes(std::size_t count) {
    if (count > rest_.size()) fail("ends too early");
    const std::string_view bytes = rest_.substr(0, count);
    rest_.remove_prefix(count);
    return bytes;
  }

  std::string_view rest_;
  std::string where_;
};

}  // namespace sixfold
