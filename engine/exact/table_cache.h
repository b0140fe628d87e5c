/// A directory of tables that took a while to compute.
///
/// A file holds a line that says which table of which version it is, the arrays with their lengths,
/// and a 64-bit hash of it all. Whatever is damaged, of another size, no regular file, of another
/// version or of another table is reported and treated as absent: the caller builds anew. A
/// directory that can't be written to costs nothing but time. One object belongs to one thread at a
/// time; files may be shared by many processes, since they are replaced as a whole.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
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
  /// use: no table, or one whose arrays have other lengths, or that `is_sound` does not take. A
  /// hash tells damage, not who wrote the file, so that has to see to all that could lead the
  /// table's user astray. Arrays may be changed in either case.
  template <typename IsSound, typename... Values>
  [[nodiscard]] bool load(const std::string& name,
                          const std::array<std::size_t, sizeof...(Values)>& lengths,
                          IsSound is_sound, std::vector<Values>&... arrays) {
    static_assert((std::is_trivially_copyable_v<Values> && ...));
    const std::array<std::size_t, sizeof...(Values)> sizes{sizeof(Values)...};
    std::size_t size = 0;
    for (std::size_t i = 0; i < lengths.size(); ++i) size += kNumberBytes + lengths[i] * sizes[i];
    const std::optional<std::string> bytes = read(name, size);
    if (!bytes) return false;
    std::string_view rest = *bytes;
    const std::size_t* length = lengths.data();
    if ((take(rest, *length++, arrays) && ...) && is_sound()) return true;
    refuse(name, "it holds numbers that no such table has");
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
  static constexpr std::size_t kNumberBytes = sizeof(std::uint64_t);
  /// Takes a number off the front. REQUIRES: there is one.
  static std::uint64_t take_number(std::string_view& rest);

  /// False where the next array has another length. REQUIRES: there are bytes for this one.
  template <typename Value>
  static bool take(std::string_view& rest, std::size_t length, std::vector<Value>& array) {
    const std::size_t size = length * sizeof(Value);
    if (take_number(rest) != size) return false;
    array.resize(length);
    if (size > 0) std::memcpy(array.data(), rest.data(), size);
    rest.remove_prefix(size);
    return true;
  }

  /// The arrays' bytes, so many of them, verified.
  std::optional<std::string> read(const std::string& name, std::size_t size);
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
