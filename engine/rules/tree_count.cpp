#include "rules/tree_count.h"

#include <cassert>

#include "rules/plays.h"

namespace sixfold {

TreeCount count_plays(const Position& position, int depth) {
  assert(depth >= 1);
  TreeCount total;
  PlayList plays;
  for (const Roll roll : kRolls) {
    generate_plays(position, roll, plays);
    const auto weight = static_cast<std::uint64_t>(roll.weight());
    if (depth == 1) {
      total.plays += plays.size();
      total.weighted += plays.size() * weight;
      continue;
    }
    for (const PlayKey play : plays) {
      const TreeCount below = count_plays(position_after(position, play), depth - 1);
      total.plays += below.plays;
      total.weighted += below.weighted * weight;
    }
  }
  return total;
}

}  // namespace sixfold
