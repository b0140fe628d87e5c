#include "evaluator/safetensors.h"

#include <algorithm>
#include <bit>
#include <cassert>
#include <cmath>
#include <cstdint>
#include <cstring>
#include <fstream>
#include <limits>
#include <nlohmann/json.hpp>
#include <optional>
#include <tuple>
#include <utility>

#include "base/atomic_file.h"
#include "base/input_error.h"
#include "evaluator/strict_json.h"

namespace sixfold {
namespace {

namespace fs = std::filesystem;
using nlohmann::json;

static_assert(std::endian::native == std::endian::little, "numbers are copied as they stand");
static_assert(sizeof(std::size_t) == 8, "offsets of the format have 64 bits");
static_assert(sizeof(float) == 4 && std::numeric_limits<float>::is_iec559);

constexpr std::size_t kLengthBytes = 8;
constexpr std::size_t kAlignment = 8;
constexpr std::uint64_t kMaxHeader = 100'000'000;
/// Far above all networks and checkpoints: a file may be sparse, and be read into memory whole.
constexpr std::uint64_t kMaxFile = 1'000'000'000;
constexpr const char* kMetadata = "__metadata__";

/// A tensor's line in the header.
struct Entry {
  std::string name;
  std::vector<std::size_t> shape;
  std::size_t begin = 0;
  std::size_t end = 0;
};

std::string quoted(const std::string& text) { return "'" + text + "'"; }

/// The size of a tensor's data, unless it is beyond all numbers.
std::optional<std::size_t> byte_count(const std::vector<std::size_t>& shape) {
  std::size_t bytes = sizeof(float);
  for (const std::size_t length : shape) {
    if (length != 0 && bytes > std::numeric_limits<std::size_t>::max() / length) {
      return std::nullopt;
    }
    bytes *= length;
  }
  return bytes;
}

/// The place of the first value that is not finite.
std::optional<std::size_t> first_not_finite(const std::vector<float>& values) {
  const auto found =
      std::find_if(values.begin(), values.end(), [](float value) { return !std::isfinite(value); });
  if (found == values.end()) return std::nullopt;
  return static_cast<std::size_t>(found - values.begin());
}

/// Reads one file from front to back.
class Reader {
 public:
  explicit Reader(const fs::path& path) : where_(path.string()) {
    std::error_code ignored;
    const fs::file_status status = fs::status(path, ignored);
    if (status.type() == fs::file_type::not_found) refuse("there is no such file", "");
    if (fs::is_directory(status)) refuse("is a directory", "a file");
    if (fs::status_known(status) && !fs::is_regular_file(status)) {
      refuse("is not a regular file", "a safetensors file");
    }
    std::error_code error;
    left_ = fs::file_size(path, error);
    stream_.open(path, std::ios::binary);
    if (error || !stream_) refuse("cannot be opened", "a readable file");
    if (left_ > kMaxFile) {
      refuse("has " + std::to_string(left_) + " bytes",
             std::to_string(kMaxFile) + " at most: is it a network?");
    }
  }

  TensorFile read() {
    const json header = read_header();
    TensorFile file;
    std::vector<Entry> entries;
    for (const auto& [name, value] : header.items()) {
      if (name == kMetadata) {
        file.metadata = metadata_of(value);
      } else {
        entries.push_back(entry_of(name, value));
      }
    }
    std::sort(entries.begin(), entries.end(), [](const Entry& a, const Entry& b) {
      return std::tie(a.begin, a.end, a.name) < std::tie(b.begin, b.end, b.name);
    });
    check_layout(entries);
    for (Entry& entry : entries) {
      Tensor tensor = read_tensor(entry);
      file.tensors.emplace(std::move(entry.name), std::move(tensor));
    }
    return file;
  }

 private:
  [[noreturn]] void refuse(const std::string& complaint, const std::string& expected) const {
    throw InputError(complaint, where_, expected);
  }

  /// REQUIRES: size <= left_.
  void read_bytes(char* out, std::uint64_t size) {
    assert(size <= left_);
    stream_.read(out, static_cast<std::streamsize>(size));
    if (!stream_) refuse("cannot be read to its end", "a readable file");
    left_ -= size;
  }

  json read_header() {
    if (left_ < kLengthBytes) {
      refuse("has " + std::to_string(left_) + " bytes only", "a safetensors file");
    }
    std::uint64_t length = 0;
    char bytes[kLengthBytes];
    read_bytes(bytes, kLengthBytes);
    std::memcpy(&length, bytes, kLengthBytes);
    if (length > kMaxHeader) {
      refuse("says that its header has " + std::to_string(length) + " bytes",
             std::to_string(kMaxHeader) + " at most: is it a safetensors file?");
    }
    if (length > left_) {
      refuse("ends within its header of " + std::to_string(length) + " bytes",
             std::to_string(length - left_) + " more bytes");
    }
    std::string text(static_cast<std::size_t>(length), '\0');
    read_bytes(text.data(), length);
    if (text.empty() || text.front() != '{') refuse("its header is no JSON object", "{...}");
    // The parser would take a zero byte for the end.
    if (text.find('\0') != std::string::npos) refuse("its header is not JSON", "no zero bytes");
    return parse(text);
  }

  json parse(const std::string& text) const {
    try {
      return parse_unique(text, [&](const std::string& name) {
        refuse("its header has two members " + quoted(name), "one");
      });
    } catch (const json::parse_error& error) {
      refuse("its header is not JSON", "JSON at byte " + std::to_string(error.byte));
    } catch (const json::exception&) {
      refuse("its header is not JSON", "numbers within the usual range");
    }
  }

  std::map<std::string, std::string> metadata_of(const json& value) const {
    if (!value.is_object()) refuse("its metadata are no JSON object", "an object of strings");
    std::map<std::string, std::string> metadata;
    for (const auto& [key, text] : value.items()) {
      if (!text.is_string()) refuse("its metadata " + quoted(key) + " is no string", "a string");
      metadata.emplace(key, text.get<std::string>());
    }
    return metadata;
  }

  [[nodiscard]] std::vector<std::size_t> whole_numbers(const std::string& name, const json& entry,
                                                       const char* field) const {
    std::vector<std::size_t> numbers;
    const json& list = entry.at(field);
    bool whole = list.is_array();
    for (std::size_t i = 0; whole && i < list.size(); ++i) {
      whole = list[i].is_number_unsigned();
      if (whole) numbers.push_back(list[i].get<std::size_t>());
    }
    if (!whole) {
      refuse("tensor " + quoted(name) + " has a bad " + field, "a list of whole numbers");
    }
    return numbers;
  }

  Entry entry_of(const std::string& name, const json& value) const {
    const std::string tensor = "tensor " + quoted(name);
    if (!value.is_object()) refuse(tensor + " is no JSON object", "dtype, shape, data_offsets");
    for (const char* field : {"dtype", "shape", "data_offsets"}) {
      if (!value.contains(field)) {
        refuse(tensor + " has no " + field, "dtype, shape, data_offsets");
      }
    }
    const json& type = value.at("dtype");
    if (!type.is_string()) refuse(tensor + " has a dtype that is no string", "F32");
    if (type != "F32") refuse(tensor + " has dtype " + type.get<std::string>(), "F32");
    Entry entry;
    entry.name = name;
    entry.shape = whole_numbers(name, value, "shape");
    const auto offsets = whole_numbers(name, value, "data_offsets");
    if (offsets.size() != 2 || offsets[0] > offsets[1]) {
      refuse(tensor + " has data offsets " + shape_text(offsets), "[begin, end]");
    }
    entry.begin = offsets[0];
    entry.end = offsets[1];
    const auto bytes = byte_count(entry.shape);
    if (bytes != entry.end - entry.begin) {
      refuse(tensor + " of shape " + shape_text(entry.shape) + " has " +
                 std::to_string(entry.end - entry.begin) + " bytes of data",
             bytes ? std::to_string(*bytes) : "a shape that fits into memory");
    }
    return entry;
  }

  /// REQUIRES: entries are sorted by their place; the stream stands at the data.
  void check_layout(const std::vector<Entry>& entries) const {
    std::size_t at = 0;
    for (const Entry& entry : entries) {
      const std::string tensor = "tensor " + quoted(entry.name);
      const std::string place = std::to_string(at);
      if (entry.end > left_) {
        refuse("ends within the data of " + tensor,
               std::to_string(entry.end) + " bytes of data, not " + std::to_string(left_));
      }
      if (entry.begin < at) {
        refuse("the data of " + tensor + " overlap those of another", "a begin at byte " + place);
      }
      if (entry.begin > at) {
        refuse("the data have a hole before " + tensor, "a begin at byte " + place);
      }
      at = entry.end;
    }
    if (at != left_) {
      refuse(std::to_string(left_ - at) + " bytes follow the data of the last tensor", "none");
    }
  }

  Tensor read_tensor(const Entry& entry) {
    Tensor tensor;
    tensor.shape = entry.shape;
    const std::size_t bytes = entry.end - entry.begin;
    tensor.values.resize(bytes / sizeof(float));
    read_bytes(reinterpret_cast<char*>(tensor.values.data()), bytes);
    if (const auto place = first_not_finite(tensor.values)) {
      refuse("tensor " + quoted(entry.name) + " has a value that is not finite, number " +
                 std::to_string(*place),
             "finite numbers");
    }
    return tensor;
  }

  std::string where_;
  std::ifstream stream_;
  std::uint64_t left_ = 0;  ///< bytes not yet read
};

/// The header's text, padded so that the data start on a multiple of kAlignment.
std::string header_text(const TensorFile& file) {
  json header = json::object();
  if (!file.metadata.empty()) header[kMetadata] = file.metadata;
  std::size_t at = 0;
  for (const auto& [name, tensor] : file.tensors) {
    const std::size_t end = at + tensor.values.size() * sizeof(float);
    header[name] = {{"dtype", "F32"}, {"shape", tensor.shape}, {"data_offsets", {at, end}}};
    at = end;
  }
  std::string text = header.dump();
  text.append((kAlignment - text.size() % kAlignment) % kAlignment, ' ');
  return text;
}

}  // namespace

std::string shape_text(const std::vector<std::size_t>& shape) {
  std::string text = "[";
  for (const std::size_t length : shape) {
    if (text.size() > 1) text += ", ";
    text += std::to_string(length);
  }
  return text + "]";
}

TensorFile read_tensors(const fs::path& path) { return Reader(path).read(); }

void write_tensors(const fs::path& path, const TensorFile& file) {
  for (const auto& [name, tensor] : file.tensors) {
    assert(name != kMetadata);
    assert(byte_count(tensor.shape) == tensor.values.size() * sizeof(float));
    if (const auto place = first_not_finite(tensor.values)) {
      throw InputError("cannot be written: tensor " + quoted(name) +
                           " has a value that is not finite, number " + std::to_string(*place),
                       path.string(), "finite numbers");
    }
  }
  std::string bytes(kLengthBytes, '\0');
  try {
    bytes += header_text(file);
  } catch (const json::exception&) {
    throw InputError("cannot be written: a name or metadata are not UTF-8", path.string(), "UTF-8");
  }
  const std::uint64_t length = bytes.size() - kLengthBytes;
  std::memcpy(bytes.data(), &length, kLengthBytes);
  for (const auto& [name, tensor] : file.tensors) {
    bytes.append(reinterpret_cast<const char*>(tensor.values.data()),
                 tensor.values.size() * sizeof(float));
  }
  write_file_atomically(path, bytes);
}

}  // namespace sixfold
