#include "evaluator/safetensors.h"

#include <sys/stat.h>

#include <bit>
#include <catch2/catch.hpp>
#include <cstdint>
#include <initializer_list>
#include <limits>
#include <string>

#include "evaluator/file_fixtures.h"

namespace sixfold {
namespace {

std::string with_length(const std::string& header, const std::string& data) {
  std::string bytes(8, '\0');
  for (std::size_t i = 0; i < 8; ++i) {
    bytes[i] = static_cast<char>((header.size() >> (8 * i)) & 0xff);
  }
  return bytes + header + data;
}

std::string bytes_of(std::initializer_list<float> values) {
  std::string bytes;
  for (const float value : values) {
    const auto bits = std::bit_cast<std::uint32_t>(value);
    for (int shift = 0; shift < 32; shift += 8) {
      bytes += static_cast<char>((bits >> shift) & 0xff);
    }
  }
  return bytes;
}

/// A file of this header and eight bytes of data.
std::string with_header(const std::string& header) {
  return with_length(header, std::string(8, '\0'));
}

/// The same with one tensor, "a".
std::string with_entry(const std::string& entry) { return with_header(R"({"a":)" + entry + "}"); }

void require_refusal_of_bytes(const std::string& bytes, const std::string& words) {
  const Room room;
  const fs::path path = room / "damaged.safetensors";
  write_bytes(path, bytes);
  require_refusal([&] { (void)read_tensors(path); }, path, words);
}

}  // namespace

TEST_CASE("tensors come back as they were written") {
  const Room room;
  TensorFile file = two_tensors();
  file.tensors["empty"] = {{3, 0}, {}};
  file.tensors["scalar"] = {{}, {7.0f}};
  write_tensors(room / "t", file);
  CHECK(read_tensors(room / "t") == file);
  write_tensors(room / "t", {});
  CHECK(read_tensors(room / "t") == TensorFile());
}

TEST_CASE("the bytes of a tensor file are those of the format") {
  const Room room;
  write_tensors(room / "t", two_tensors());
  std::string header = R"({"__metadata__":{"note":"small"},)"
                       R"("a":{"data_offsets":[0,8],"dtype":"F32","shape":[2]},)"
                       R"("b":{"data_offsets":[8,12],"dtype":"F32","shape":[1,1]}})";
  header.append((8 - header.size() % 8) % 8, ' ');
  CHECK(read_bytes(room / "t") == with_length(header, bytes_of({1.0f, -2.0f, 0.5f})));
}

TEST_CASE("tensors are read in any order, spacing and with other fields") {
  const Room room;
  const std::string header =
      R"({ "b":{"shape":[1,1],"dtype":"F32","data_offsets":[0,4],"note":1}, )"
      R"("none":{"dtype":"F32","shape":[0],"data_offsets":[4,4]},)"
      R"("__metadata__":{"note":"small"}, "a":{"dtype":"F32","shape":[2],"data_offsets":[4,12]}})";
  write_bytes(room / "t", with_length(header, bytes_of({0.5f, 1.0f, -2.0f})));
  TensorFile expected = two_tensors();
  expected.tensors["none"] = {{0}, {}};
  CHECK(read_tensors(room / "t") == expected);
}

TEST_CASE("tensor files without a sound header are refused") {
  const auto [bytes, words] = GENERATE(table<std::string, std::string>({
      {"", "has 0 bytes only"},
      {"1234567", "has 7 bytes only"},
      {std::string(8, '\0'), "no JSON object"},
      {std::string("\x09\0\0\0\0\0\0\0{}", 10), "ends within its header"},
      {std::string("\xff\xff\xff\xff\xff\xff\xff\xff{}", 10), "header has 18446744073709551615"},
      {std::string("\x01\xe1\xf5\x05\0\0\0\0{}", 10), "header has 100000001 bytes"},
      {with_header("[]"), "no JSON object"},
      {with_header("null"), "no JSON object"},
      {with_header(" {}"), "no JSON object"},
      {with_header("{} {}"), "not JSON"},
      {with_header("{\"a\":"), "not JSON"},
      {with_header("{\"a\xff\":1}"), "not JSON"},
      {with_header(std::string("{}\0", 3)), "not JSON"},
      {with_header("{\"a\":" + std::string(1'000'000, '[')), "not JSON"},
      {with_entry("1e999"), "not JSON"},
      {with_header(R"({"__metadata__":[]})"), "metadata are no JSON object"},
      {with_header(R"({"__metadata__":{"k":1}})"), "metadata 'k' is no string"},
      {with_header(R"({"__metadata__":{"k":"1","k":"2"}})"), "two members 'k'"},
      {with_header(R"({"a":{"dtype":"F32","shape":[2],"data_offsets":[0,8]},)"
                   R"("a":{"dtype":"F32","shape":[2],"data_offsets":[0,8]}})"),
       "two members 'a'"},
  }));
  require_refusal_of_bytes(bytes, words);
}

TEST_CASE("tensor files with a bad entry are refused with the tensor's name") {
  const auto [entry, words] = GENERATE(table<std::string, std::string>({
      {std::string(100'000, '[') + std::string(100'000, ']'), "is no JSON object"},
      {"3", "is no JSON object"},
      {R"({"shape":[2],"data_offsets":[0,8]})", "has no dtype"},
      {R"({"dtype":"F32","data_offsets":[0,8]})", "has no shape"},
      {R"({"dtype":"F32","shape":[2]})", "has no data_offsets"},
      {R"({"dtype":"F64","shape":[1],"data_offsets":[0,8]})", "dtype F64; expected F32"},
      {R"({"dtype":32,"shape":[2],"data_offsets":[0,8]})", "dtype that is no string"},
      {R"({"dtype":"F32","shape":2,"data_offsets":[0,8]})", "bad shape"},
      {R"({"dtype":"F32","shape":[-2],"data_offsets":[0,8]})", "bad shape"},
      {R"({"dtype":"F32","shape":[2.0],"data_offsets":[0,8]})", "bad shape"},
      {R"({"dtype":"F32","shape":["2"],"data_offsets":[0,8]})", "bad shape"},
      {R"({"dtype":"F32","shape":[18446744073709551616],"data_offsets":[0,8]})", "bad shape"},
      {R"({"dtype":"F32","shape":{"0":2},"data_offsets":[0,8]})", "bad shape"},
      {R"({"dtype":"F32","shape":[2],"data_offsets":{"0":0}})", "bad data_offsets"},
      {R"({"dtype":"F32","shape":[2],"data_offsets":[0,-8]})", "bad data_offsets"},
      {R"({"dtype":"F32","shape":[2],"data_offsets":[8]})", "data offsets [8]"},
      {R"({"dtype":"F32","shape":[2],"data_offsets":[0,8,8]})", "data offsets [0, 8, 8]"},
      {R"({"dtype":"F32","shape":[2],"data_offsets":[8,0]})", "data offsets [8, 0]"},
      {R"({"dtype":"F32","shape":[3],"data_offsets":[0,8]})", "8 bytes of data; expected 12"},
      {R"({"dtype":"F32","shape":[],"data_offsets":[0,8]})", "shape [] has 8 bytes of data"},
      {R"({"dtype":"F32","shape":[4294967296,1073741824],"data_offsets":[0,0]})", "fits"},
      {R"({"dtype":"F32","shape":[4611686018427387904],"data_offsets":[0,0]})", "fits"},
  }));
  require_refusal_of_bytes(with_entry(entry), words);
  require_refusal_of_bytes(with_entry(entry), "tensor 'a'");
}

TEST_CASE("tensor files whose data are not covered exactly are refused") {
  const auto pair = [](const std::string& a, const std::string& b) {
    return with_header(R"({"a":{"dtype":"F32","shape":[1],"data_offsets":)" + a +
                       R"(},"b":{"dtype":"F32","shape":[1],"data_offsets":)" + b + "}}");
  };
  const auto [bytes, words] = GENERATE_COPY(table<std::string, std::string>({
      {with_entry(R"({"dtype":"F32","shape":[1099511627776],"data_offsets":[0,4398046511104]})"),
       "ends within the data of tensor 'a'"},
      {with_entry(R"({"dtype":"F32","shape":[3],"data_offsets":[0,12]})"), "ends within the data"},
      {with_entry(R"({"dtype":"F32","shape":[1],"data_offsets":[0,4]})"), "4 bytes follow"},
      {with_entry(R"({"dtype":"F32","shape":[1],"data_offsets":[4,8]})"), "hole before tensor 'a'"},
      {with_header("{}"), "8 bytes follow"},
      {pair("[0,4]", "[0,4]"), "tensor 'b' overlap"},
      {pair("[2,6]", "[0,4]"), "tensor 'a' overlap"},
      {pair("[0,4]", "[6,10]"), "ends within the data of tensor 'b'"},
  }));
  require_refusal_of_bytes(bytes, words);
}

TEST_CASE("values that are not finite are refused with the tensor's name") {
  const Room room;
  const float value =
      GENERATE(std::numeric_limits<float>::infinity(), -std::numeric_limits<float>::infinity(),
               std::numeric_limits<float>::quiet_NaN());
  const std::string header = R"({"odd":{"dtype":"F32","shape":[2],"data_offsets":[0,8]}})";
  write_bytes(room / "t", with_length(header, bytes_of({1.0f, value})));
  require_refusal([&] { (void)read_tensors(room / "t"); }, room / "t",
                  "tensor 'odd' has a value that is not finite, number 1");
  TensorFile file;
  file.tensors["odd"] = {{2}, {1.0f, value}};
  require_refusal([&] { write_tensors(room / "new", file); }, room / "new", "'odd'");
  CHECK(room.count() == 1);
}

TEST_CASE("text that is not UTF-8 is not written") {
  const Room room;
  TensorFile file = two_tensors();
  file.metadata["note"] = "\xff";
  require_refusal([&] { write_tensors(room / "t", file); }, room / "t", "not UTF-8");
  CHECK(room.count() == 0);
}

TEST_CASE("what is no file is not read") {
  const Room room;
  const fs::path pipe = room / "pipe";
  REQUIRE(::mkfifo(pipe.c_str(), 0600) == 0);
  require_refusal([&] { (void)read_tensors(room / "none"); }, room / "none", "no such file");
  require_refusal([&] { (void)read_tensors(room / ""); }, room / "", "is a directory");
  require_refusal([&] { (void)read_tensors(pipe); }, pipe, "not a regular file");
  require_refusal([&] { (void)load_network(room / "none"); }, room / "none", "no such file");
}

TEST_CASE("a sparse file of a terabyte and a header nested deep are refused, not read") {
  const Room room;
  write_tensors(room / "t", two_tensors());
  fs::resize_file(room / "t", std::uintmax_t{1} << 40);
  require_refusal([&] { (void)read_tensors(room / "t"); }, room / "t", "at most: is it a network?");
  const std::string header = "{\"a\":" + std::string(1'000'000, '[');
  const std::uint64_t length = header.size();
  write_bytes(room / "deep",
              std::string(reinterpret_cast<const char*>(&length), sizeof length) + header);
  require_refusal([&] { (void)read_tensors(room / "deep"); }, room / "deep", "not JSON");
}

}  // namespace sixfold
