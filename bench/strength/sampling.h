// What the yardstick's lists have in common: even samples, and files that grow line by line.
#pragma once

#include <cstdint>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#include "rollout/random_stream.h"

namespace sixfold {

// Keeps `wanted` of all that it is shown, each with the same probability: Vitter J., Random
// sampling with a reservoir, ACM Trans. Math. Softw. 11, 1985, algorithm R.
template <typename Item>
struct Reservoir {
  std::vector<Item> kept{};
  std::uint32_t seen = 0;

  void show(const Item& item, std::size_t wanted, RandomStream& random) {
    const std::uint32_t place = random.below(++seen);
    if (kept.size() < wanted) {
      kept.push_back(item);
    } else if (place < wanted) {
      kept[place] = item;
    }
  }
};

// Calls use(line) for all whole lines of a file, none when there is no file. A last line without an
// end is cut off, so that an interrupted run can go on.
template <typename Use>
void for_each_whole_line(const std::filesystem::path& path, Use use) {
  std::ifstream file(path);
  if (!file) return;
  std::uintmax_t whole = 0;
  std::string line;
  while (std::getline(file, line) && !file.eof()) {
    use(line);
    whole += line.size() + 1;
  }
  file.close();
  std::filesystem::resize_file(path, whole);
}

}  // namespace sixfold
