// A program of somebody else's: positions come on standard input, one a line; how each ends before
// the dice goes to standard output, six numbers a line, in blocks so that all processors have work.
#include <sixfold/sixfold.h>

#include <cstdio>
#include <exception>
#include <iostream>
#include <string>
#include <vector>

namespace {

void answer(sixfold::Engine& engine, const std::vector<std::string>& positions) {
  for (const sixfold::SixOutcomes& outcomes : engine.distributions(positions)) {
    for (const double share : outcomes) std::printf("%.6f ", share);
    std::printf("\n");
  }
}

}  // namespace

int main() {
  if (sixfold::Engine::api_version() != sixfold::kApiVersion) {
    std::fprintf(stderr, "the library is of another version than its header\n");
    return 1;
  }
  try {
    constexpr std::size_t kBlock = 10000;
    sixfold::Engine engine({.net = STANDARD_NET});
    std::vector<std::string> positions;
    for (std::string line; std::getline(std::cin, line);) {
      positions.push_back(line);
      if (positions.size() < kBlock) continue;
      answer(engine, positions);
      positions.clear();
    }
    answer(engine, positions);
  } catch (const std::exception& error) {
    std::fprintf(stderr, "%s\n", error.what());
    return 1;
  }
}
