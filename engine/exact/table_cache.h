/// A directory of tables that took a while to compute.
///
/// A file holds a line that says which table of which version it is, the arrays with their lengths,
/// and a 64-bit hash of it all. Whatever is damaged, of another version or of another table is
/// reported and treated as absent: the caller builds anew. A directory that can't be written to
/// costs nothing but time. One object belongs to one thread at a time; files may be shared by many
/// processes, since they are replaced as a whole.
#pragma once

#include <cstddef>
#include <cstring>
#include <filesystem>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <type_traits>
#include <vector>

namespace sixfold {

class TableCache {
 public:
  /// Without a directory nothing is kept. `report` gets one line for whatever is out of order; what
  /// can't be written is reported once.
  explicit TableCache(std::filesystem::path directory = {},
                      std::function<void(const std::string&)> report = {})
      : directory_(std::move(directory)), report_(std::move(report)) {}

  /// Fills arrays of plain values with what is stored under a name; false when there is nothing of
  /// use. Arrays may be changed in either case.
  template <typename... Values>
  [[nodiscard]] bool load(const std::string& name, std::vector<Values>&... arrays) {
    static_assert((std::is_trivially_copyable_v<Values> && ...));
    const std::optional<std::string> bytes = read(name);
    if (!bytes) return false;
    std::string_view rest = *bytes;
    if ((take(rest, arrays) && ...) && rest.empty()) return true;
    refuse(name, "its arrays do not fit");
    return false;
  }

  /// Stores arrays under a name, as far as that is possible.
  template <typename... Values>
  void store(const std::string& name, const std::vector<Values>&... arrays) {
    if (directory_.empty()) return;
    std::string bytes = heading(name);
    (append(bytes, std::as_bytes(std::span(arrays))), ...);
    write(name, std::move(bytes));
  }

  [[nodiscard]] std::filesystem::path file(const std::string& name) const {
    return directory_ / (name + ".table");
  }
  [[nodiscard]] bool has(const std::string& name) const {
    std::error_code error;
    return !directory_.empty() && std::filesystem::exists(file(name), error);
  }

 private:
  static std::string heading(const std::string& name);
  static void append(std::string& bytes, std::span<const std::byte> array);
  /// Takes the next array's bytes off the front; nothing when there is no whole array.
  static std::optional<std::string_view> take_bytes(std::string_view& rest);

  template <typename Value>
  static bool take(std::string_view& rest, std::vector<Value>& array) {
    const auto bytes = take_bytes(rest);
    if (!bytes || bytes->size() % sizeof(Value) != 0) return false;
    array.resize(bytes->size() / sizeof(Value));
    if (!array.empty()) std::memcpy(array.data(), bytes->data(), bytes->size());
    return true;
  }

  /// The arrays' bytes, verified.
  std::optional<std::string> read(const std::string& name);
  void write(const std::string& name, std::string bytes);
  void refuse(const std::string& name, const std::string& reason) const;
  void report(const std::string& line) const {
    if (report_) report_(line);
  }

  std::filesystem::path directory_;
  std::function<void(const std::string&)> report_;
  bool writable_ = true;
};

}  // namespace sixfold
