/// All facts of one roll, gathered from the lists that hold them.
#pragma once

#include <algorithm>
#include <cstddef>
#include <vector>

#include "encoding/roll_facts.h"

namespace sixfold {

/// In ascending order.
inline std::vector<Fact> facts_of_roll(const RollFacts& facts, Roll roll) {
  const auto index = static_cast<std::size_t>(roll.index());
  std::vector<Fact> all(facts.own[index].begin(), facts.own[index].end());
  for (std::size_t list = 0; list < RollFacts::kSharedLists; ++list) {
    if ((static_cast<unsigned>(facts.uses[index]) >> list & 1u) == 0) continue;
    all.insert(all.end(), facts.shared[list].begin(), facts.shared[list].end());
  }
  std::sort(all.begin(), all.end());
  return all;
}

}  // namespace sixfold
