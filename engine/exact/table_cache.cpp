#include "exact/table_cache.h"

#include <cstdint>
#include <fstream>

#include "base/atomic_file.h"
#include "base/hash.h"
#include "base/input_error.h"

namespace sixfold {
namespace {

/// Changes with the layout or the meaning of any table.
constexpr const char* kVersion = "sixfold table 1: ";

void append_number(std::string& bytes, std::uint64_t number) {
  bytes.append(reinterpret_cast<const char*>(&number), sizeof number);
}

std::uint64_t number_at(std::string_view bytes, std::size_t at) {
  std::uint64_t number = 0;
  std::memcpy(&number, bytes.data() + at, sizeof number);
  return number;
}

}  // namespace

std::string TableCache::heading(const std::string& name) { return kVersion + name + "\n"; }

void TableCache::append(std::string& bytes, std::span<const std::byte> array) {
  append_number(bytes, array.size());
  bytes.append(reinterpret_cast<const char*>(array.data()), array.size());
}

std::optional<std::string_view> TableCache::take_bytes(std::string_view& rest) {
  constexpr std::size_t kLength = sizeof(std::uint64_t);
  if (rest.size() < kLength) return std::nullopt;
  const std::uint64_t length = number_at(rest, 0);
  rest.remove_prefix(kLength);
  if (length > rest.size()) return std::nullopt;
  const std::string_view bytes = rest.substr(0, length);
  rest.remove_prefix(length);
  return bytes;
}

std::optional<std::string> TableCache::read(const std::string& name) {
  if (!has(name)) return std::nullopt;
  std::error_code error;
  const std::uintmax_t size = std::filesystem::file_size(file(name), error);
  std::ifstream in(file(name), std::ios::binary);
  if (error || !in) {
    refuse(name, "it cannot be read");
    return std::nullopt;
  }
  const std::string expected = heading(name);
  std::string bytes(size, '\0');
  in.read(bytes.data(), static_cast<std::streamsize>(size));
  const std::size_t least = expected.size() + sizeof(std::uint64_t);
  if (!in || size < least) {
    refuse(name, "it is cut off");
    return std::nullopt;
  }
  if (!bytes.starts_with(expected)) {
    refuse(name, "it holds something else or another version");
    return std::nullopt;
  }
  const std::size_t end = size - sizeof(std::uint64_t);
  if (number_at(bytes, end) != hash_of_words(std::string_view(bytes).substr(0, end))) {
    refuse(name, "it is damaged");
    return std::nullopt;
  }
  bytes.resize(end);
  bytes.erase(0, expected.size());
  return bytes;
}

void TableCache::write(const std::string& name, std::string bytes) {
  append_number(bytes, hash_of_words(bytes));
  try {
    std::error_code error;
    std::filesystem::create_directories(directory_, error);
    write_file_atomically(file(name), bytes);
  } catch (const InputError& error) {
    if (writable_) report(std::string("works without storing tables: ") + error.what());
    writable_ = false;
  }
}

void TableCache::refuse(const std::string& name, const std::string& reason) const {
  report(file(name).string() + " is not used, since " + reason + "; the table is built anew");
}

}  // namespace sixfold
