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

std::uint64_t TableCache::take_number(std::string_view& rest) {
  const std::uint64_t number = number_at(rest, 0);
  rest.remove_prefix(kNumberBytes);
  return number;
}

std::optional<std::string> TableCache::read(const std::string& name, std::size_t size) {
  if (!has(name)) return std::nullopt;
  const std::string expected = heading(name);
  const std::size_t whole = expected.size() + size + kNumberBytes;
  std::error_code error;
  const bool is_file = std::filesystem::is_regular_file(file(name), error);
  if (!is_file || std::filesystem::file_size(file(name), error) != whole) {
    refuse(name, "it is no file of " + std::to_string(whole) + " bytes");
    return std::nullopt;
  }
  std::ifstream in(file(name), std::ios::binary);
  std::string bytes(whole, '\0');
  in.read(bytes.data(), static_cast<std::streamsize>(whole));
  if (!in) {
    refuse(name, "it cannot be read");
    return std::nullopt;
  }
  if (!bytes.starts_with(expected)) {
    refuse(name, "it holds something else or another version");
    return std::nullopt;
  }
  const std::size_t end = whole - kNumberBytes;
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
