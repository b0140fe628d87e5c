/// Places in JSON reports, as JSON pointers (RFC 6901), for pages that say where a number stands.
///
/// Pure functions; safe to use from any thread.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <utility>

namespace sixfold {

/// From the whole report inwards: `JsonPath() / "cells" / 3`.
class JsonPath {
 public:
  [[nodiscard]] const std::string& pointer() const noexcept { return pointer_; }

  [[nodiscard]] friend JsonPath operator/(JsonPath path, std::string_view field) {
    path.pointer_ += '/';
    for (const char c : field) {
      if (c == '~' || c == '/') {
        path.pointer_ += c == '~' ? "~0" : "~1";
      } else {
        path.pointer_ += c;
      }
    }
    return path;
  }
  [[nodiscard]] friend JsonPath operator/(JsonPath path, std::size_t entry) {
    return std::move(path) / std::string_view(std::to_string(entry));
  }

 private:
  std::string pointer_;
};

// Places in lesson_json().
[[nodiscard]] inline JsonPath double_path(std::size_t number) {
  return JsonPath() / "doubles" / number;
}
[[nodiscard]] inline JsonPath plays_path(std::size_t cell) {
  return JsonPath() / "cells" / cell / "plays";
}
[[nodiscard]] inline JsonPath play_path(std::size_t cell, std::size_t rank) {
  return plays_path(cell) / rank;
}
[[nodiscard]] inline JsonPath flip_check_path(std::size_t flip, std::size_t check) {
  return JsonPath() / "flips" / flip / "checks" / check;
}

}  // namespace sixfold
