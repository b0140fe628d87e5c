/// Reads and writes named float arrays in the open safetensors format.
///
/// A file is the header's length in bytes (8 bytes, little-endian), the header, and the data. The
/// header is a JSON object; each member is a tensor, {"dtype", "shape", "data_offsets": [begin,
/// end]} with offsets in bytes from the start of the data, or "__metadata__", an object of strings.
/// The tensors' data cover the rest of the file without gaps or overlaps. Of the format's element
/// types only F32 is taken: little-endian IEEE 754 binary32, last dimension fastest.
/// Plain functions of their arguments and the file; safe to use from any thread.
#pragma once

#include <cstddef>
#include <filesystem>
#include <map>
#include <string>
#include <vector>

namespace sixfold {

struct Tensor {
  std::vector<std::size_t> shape;
  std::vector<float> values;
  friend bool operator==(const Tensor&, const Tensor&) = default;
};

struct TensorFile {
  std::map<std::string, std::string> metadata;
  std::map<std::string, Tensor> tensors;
  friend bool operator==(const TensorFile&, const TensorFile&) = default;
};

/// Such as "[562, 64]", for messages.
[[nodiscard]] std::string shape_text(const std::vector<std::size_t>& shape);

/// Throws InputError when the file can't be read, breaks the format in any way, or has values that
/// are not finite.
[[nodiscard]] TensorFile read_tensors(const std::filesystem::path& path);

/// Writes whole or not at all; equal contents give equal bytes. Throws InputError when the file
/// can't be written, or could not be read back: values that are not finite, text that is not UTF-8.
/// REQUIRES: each tensor has as many values as its shape says, and none is named "__metadata__".
void write_tensors(const std::filesystem::path& path, const TensorFile& file);

}  // namespace sixfold
