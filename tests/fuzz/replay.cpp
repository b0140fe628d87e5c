// Runs a fuzz target over files of a corpus, where there is no fuzzer: NAME FILE|FOLDER...
#include <algorithm>
#include <cstdio>
#include <iterator>
#include <vector>

#include "fuzz/fuzz.h"

namespace {

void replay(const std::filesystem::path& file) {
  std::ifstream in(file, std::ios::binary);
  const std::vector<char> bytes{std::istreambuf_iterator<char>(in), {}};
  std::printf("%s\n", file.c_str());
  std::fflush(stdout);  // Whichever it ends at is the last one named.
  LLVMFuzzerTestOneInput(reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size());
}

}  // namespace

int main(int count, char** arguments) {
  std::vector<std::filesystem::path> files;
  for (int i = 1; i < count; ++i) {
    if (!std::filesystem::is_directory(arguments[i])) {
      files.emplace_back(arguments[i]);
      continue;
    }
    for (const auto& entry : std::filesystem::directory_iterator(arguments[i])) {
      files.push_back(entry.path());
    }
  }
  std::sort(files.begin(), files.end());
  for (const std::filesystem::path& file : files) replay(file);
  if (files.empty()) std::puts("no files");
  return files.empty() ? 1 : 0;
}
