/// What the fuzz targets share: a target gets bytes, hands them to a reader, and nothing but an
/// InputError may come out.
#pragma once

#include <unistd.h>

#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>
#include <string_view>

#include "base/input_error.h"

/// What a fuzzer, or the replay of a corpus, calls. Returns 0.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

namespace sixfold::fuzz {

inline std::string_view text_of(const std::uint8_t* data, std::size_t size) {
  return {reinterpret_cast<const char*>(data), size};
}

/// Bad input is refused by InputError; what else is thrown ends the process.
template <typename Reader>
void may_refuse(const Reader& reader) {
  try {
    reader();
  } catch (const InputError&) {
  }
}

/// What must hold of everything that was accepted.
inline void require(bool holds) {
  if (!holds) std::abort();
}

/// A file with the bytes of the input in hand, for readers that take a path.
class InputFile {
 public:
  explicit InputFile(const char* name)
      : folder_(std::filesystem::temp_directory_path() /
                ("sixfold-fuzz-" + std::to_string(getpid()))),
        path_(folder_ / name) {
    std::filesystem::create_directories(folder_);
  }
  InputFile(const InputFile&) = delete;
  InputFile& operator=(const InputFile&) = delete;
  ~InputFile() { std::filesystem::remove_all(folder_); }

  void write(std::string_view bytes) const {
    std::ofstream(path_, std::ios::binary | std::ios::trunc) << bytes;
  }
  [[nodiscard]] const std::filesystem::path& path() const noexcept { return path_; }

 private:
  std::filesystem::path folder_;
  std::filesystem::path path_;
};

}  // namespace sixfold::fuzz
